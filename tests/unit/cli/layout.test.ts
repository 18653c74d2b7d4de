/** Tables and wrapped text. */
import { describe, expect, it } from 'vitest';
import { renderJson } from '#server/cli/json.ts';
import { renderPage, styled, wrap } from '#server/cli/page.ts';
import { table } from '#server/cli/table.ts';

const text = (lines: ReturnType<typeof table>) => renderPage(lines, false);

describe('a table', () => {
  it('aligns its columns to the left and to the right', () => {
    const lines = table(
      [{ title: 'name' }, { title: 'amps', align: 'right' }],
      [
        ['a', '1 A'],
        ['roof', '10.5 A'],
      ],
      80,
    );
    expect(text(lines)).toBe('name    amps\na        1 A\nroof  10.5 A\n');
  });

  it('counts wide characters as two', () => {
    expect(
      text(
        table(
          [{ title: 'n' }, { title: 'x' }],
          [
            ['屋根', '1'],
            ['ab', '2'],
          ],
          80,
        ),
      ),
    ).toBe('n     x\n屋根  1\nab    2\n');
  });

  it('drops spare columns first, the highest number before the others', () => {
    const columns = [{ title: 'name' }, { title: 'first', spare: 1 }, { title: 'second', spare: 2 }];
    const rows = [['abcdefgh', '11111', '222222']];
    expect(text(table(columns, rows, 23))).toContain('222222');
    expect(text(table(columns, rows, 22))).toBe('name      first\nabcdefgh  11111\n');
    expect(text(table(columns, rows, 14))).toBe('name\nabcdefgh\n');
  });

  it('then narrows the widest columns that may be narrowed', () => {
    const columns = [{ title: 'a', most: 30 }, { title: 'b' }, { title: 'c', most: 30 }];
    const lines = text(table(columns, [['x'.repeat(20), 'y'.repeat(5), 'z'.repeat(16)]], 37)).split('\n');
    expect(lines[1]).toBe(`${'x'.repeat(13)}…  yyyyy  ${'z'.repeat(13)}…`);
  });

  it('leaves out columns that hold nothing', () => {
    expect(text(table([{ title: 'a' }, { title: 'b' }, { title: 'c' }], [['1', '', '3']], 80))).toBe('a  c\n1  3\n');
  });

  it('of no rows is nothing', () => {
    expect(table([{ title: 'a' }], [], 80)).toEqual([]);
  });

  it('is not pushed out of line by what must not be printed raw', () => {
    const lines = text(
      table(
        [{ title: 'n' }, { title: 'x' }],
        [
          ['a\u001b', '1'],
          ['b', '2'],
        ],
        80,
      ),
    ).split('\n');
    expect(lines[1]!.indexOf('1', 9)).toBe(lines[2]!.indexOf('2'));
  });
});

describe('wrapped text', () => {
  it('breaks at blanks and indents what follows', () => {
    expect(wrap('one two three four', 9, '  ')).toEqual(['one two', '  three', '  four']);
  });

  it('keeps a word whole that is longer than the line', () => {
    expect(wrap('a bbbbbbbbbbbb c', 5)).toEqual(['a', 'bbbbbbbbbbbb', 'c']);
  });
});

describe('a page', () => {
  it('colours by style and nothing else, and never blanks', () => {
    const line = [styled('no', 'error'), '  ', styled('  ', 'good'), styled('ok', 'good'), ' '];
    expect(renderPage([line], true)).toBe('\u001b[1;31mno\u001b[0m    \u001b[32mok\u001b[0m\n');
    expect(renderPage([line], false)).toBe('no    ok\n');
  });
});

describe('JSON', () => {
  it('is what JSON.parse reads back', () => {
    const value = { a: [1, 2.5, -3e-7], b: [], c: {}, d: null, e: 'x"\n\u202e', f: [{ g: true }], __proto__: 1 };
    expect(JSON.parse(renderJson(value))).toEqual(JSON.parse(JSON.stringify(value)));
  });

  it('has lists of numbers on one line, nine digits, and null for what is no number', () => {
    expect(renderJson({ a: Float64Array.of(1 / 3, Number.NaN, Infinity), b: undefined })).toBe(
      '{\n  "a": [0.333333333, null, null]\n}\n',
    );
  });
});
