import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Item, Statement } from '#grammar/ast.ts';
import { parse } from '#grammar/parser.ts';
import { readSource } from '#grammar/source.ts';
import { LEXER } from '#grammar/tokens.ts';

/** What a line is read as, written the short way: kinds and texts of its items. */
const itemsOf = (text: string): string[] => parse(text).statements.flatMap(({ items }) => items.map(told));

function told(item: Item): string {
  switch (item.kind) {
    case 'word':
      return `${item.text}${item.steps.map((step) => (step.kind === 'member' ? `.${step.name}` : step.kind === 'pixel' ? `[${step.number}]` : `(${step.number})`)).join('')}`;
    case 'quantity':
      return item.terms.map(({ value, unit }) => `<${value}${unit === undefined ? '' : ` ${unit}`}>`).join('');
    case 'text':
    case 'date':
      return `${item.kind} ${item.value}`;
    case 'stray':
      return `stray ${item.text}`;
  }
}

describe('a line', () => {
  it.each([
    ['run eaves  from box.1', ['run', 'eaves', 'from', 'box.1']],
    ['tap sail.canvas(5).end', ['tap', 'sail.canvas(5).end']],
    ['tap eaves[116]', ['tap', 'eaves[116]']],
    ['lead 14 m of c', ['lead', '<14 m>', 'of', 'c']],
    ['lead 14m of c', ['lead', '<14 m>', 'of', 'c']],
    ['gap 8 ft 4 in', ['gap', '<8 ft><4 in>']],
    ['gap 8 ft 4 m', ['gap', '<8 ft>', '<4 m>']],
    ['x 2', ['x', '<2>']],
    ['air -10 degC to 30 degC', ['air', '<-10 degC>', 'to', '<30 degC>']],
    ['load-fuses 80 %', ['load-fuses', '<80 %>']],
    ['carries V+ ground data', ['carries', 'V+', 'ground', 'data']],
    ['wire 0.75 mm2', ['wire', '<0.75 mm2>']],
    ['wire 0.75 mm²', ['wire', '<0.75 mm²>']],
    ['measured x on 2026-11-20', ['measured', 'x', 'on', 'date 2026-11-20']],
    ['place a "b c" # d', ['place', 'a', 'text b c']],
    // A step stands right behind its word; with a blank between it means nothing.
    ['tap eaves [116]', ['tap', 'eaves', 'stray [', '<116>', 'stray ]']],
  ])('%s', (text, items) => {
    expect(itemsOf(text)).toEqual(items);
  });

  it('ends where it ends, whatever the next one is', () => {
    expect(parse('place a\nplace b\r\nplace c\rplace d').statements.length).toBe(4);
  });
});

describe('a block', () => {
  const shape = (statements: readonly Statement[]): unknown[] =>
    statements.map(({ items, block }) => [
      told(items[0] as Item),
      ...(block === undefined ? [] : [shape(block.statements)]),
    ]);

  it('holds lines, and blocks in them', () => {
    expect(shape(parse('a {\n  b 1\n  c {\n    d\n  }\n}\ne').statements)).toEqual([
      ['a', [['b'], ['c', [['d']]]]],
      ['e'],
    ]);
  });

  it('that is not closed ends before the next declaration', () => {
    const { declarations } = readSource('', 'run a {\n  lead\nplace b');
    expect(declarations.map(({ statements }) => shape(statements))).toEqual([[['run', [['lead']]]], [['place']]]);
    expect(declarations.map(({ problems }) => problems.map(({ code }) => code))).toEqual([['unclosed-block'], []]);
  });
});

describe('any text', () => {
  const text = fc.oneof(
    fc.string({ maxLength: 200 }),
    fc.string({ unit: 'binary', maxLength: 200 }),
    fc
      .array(
        fc.constantFrom('a', ' ', '\n', '{', '}', '[', ']', '(', ')', '.', '"', '#', '5', ' m', '%', ',', '-', 'run '),
        {
          maxLength: 120,
        },
      )
      .map((pieces) => pieces.join('')),
  );

  it('is tiled by its tokens, comments and blanks', () => {
    fc.assert(
      fc.property(text, (input) => {
        const { tokens, groups, errors } = LEXER.tokenize(input);
        expect(errors).toEqual([]);
        const covered = new Uint8Array(input.length);
        for (const { startOffset, image } of [...tokens, ...(groups['comments'] ?? [])])
          for (let at = startOffset; at < startOffset + image.length; at++) covered[at] = (covered[at] ?? 0) + 1;
        for (const [at, times] of covered.entries())
          expect([input, at, times]).toEqual([
            input,
            at,
            /[ \t\f\v\u00a0\ufeff]/.test(input[at] ?? '') && times === 0 ? 0 : 1,
          ]);
      }),
      { seed: 3, numRuns: 300 },
    );
  });

  it('is read without an error of the parser itself, and all spans lie inside one another and in the text', () => {
    fc.assert(
      fc.property(text, (input) => {
        const { statements, problems } = parse(input);
        for (const { span } of problems) expect(within(span, { start: 0, end: input.length })).toBe(true);
        for (const statement of statements) expectInside(statement, { start: 0, end: input.length });
      }),
      { seed: 5, numRuns: 500 },
    );
  });
});

interface Span {
  readonly start: number;
  readonly end: number;
}

const within = (inner: Span, outer: Span) =>
  inner.start <= inner.end && inner.start >= outer.start && inner.end <= outer.end;

function expectInside(statement: Statement, outer: Span): void {
  expect(within(statement.span, outer)).toBe(true);
  let at = statement.span.start;
  for (const item of statement.items) {
    expect(within(item.span, { start: at, end: statement.span.end })).toBe(true);
    at = item.span.end;
  }
  if (statement.block === undefined) return;
  expect(within(statement.block.span, { start: at, end: statement.span.end })).toBe(true);
  for (const inner of statement.block.statements) expectInside(inner, statement.block.span);
}
