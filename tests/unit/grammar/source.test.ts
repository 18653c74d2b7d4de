import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readSource, type SourceFile } from '#grammar/source.ts';
import { TOP_KEYWORDS } from '#grammar/vocabulary.ts';
import { textOf } from '../../support/samples.ts';

/** A file is a row of declarations: they tile its text, and each can be read alone. */

const SAMPLE = textOf('boathouse/yard.festoon');

/** Everything of a file that can be compared. */
const contentOf = (file: SourceFile) =>
  file.declarations.map((declaration) => {
    const { text, statements, problems } = declaration;
    return { text, statements, problems, at: file.offsets.get(declaration) };
  });

describe('a file', () => {
  it('is tiled by its declarations', () => {
    const { declarations, offsets } = readSource('', SAMPLE);
    expect(declarations.map(({ text }) => text).join('')).toBe(SAMPLE);
    let at = 0;
    for (const declaration of declarations) {
      expect(offsets.get(declaration)).toBe(at);
      at += declaration.text.length;
    }
    expect(declarations.length).toBeGreaterThan(5);
  });

  it('gives each declaration the comments right above it, and its description', () => {
    const text = 'place a\n\n# not this one\n\n# one\n## two\n##   three  \nplace b\n';
    const [, second] = readSource('', text).declarations;
    expect(second?.text).toBe('# one\n## two\n##   three  \nplace b\n');
    expect(second?.statements[0]?.description).toBe('two\n  three');
  });

  it('starts a declaration at every keyword that begins a line, even inside a block that was never closed', () => {
    for (const keyword of TOP_KEYWORDS) {
      const { declarations } = readSource('', `run a {\n  lead\n  ${keyword} x\n`);
      expect([keyword, declarations.length]).toEqual([keyword, 2]);
    }
    expect(readSource('', 'run a {\n  lead\n  placebo x\n').declarations.length).toBe(1);
  });

  it('read after an edit is the same as read afresh, whatever the edit', () => {
    const piece = fc.oneof(
      fc.constantFrom('\n', '{', '}', '"', '#', '## ', 'run ', 'place x\n', 'feed ', '\r\n', ' 5 m', '\ufeff', '[', ''),
      fc.string({ maxLength: 8 }),
    );
    const edit = fc.record({ at: fc.nat(), length: fc.nat({ max: 60 }), piece });
    let kept = 0;
    fc.assert(
      fc.property(fc.array(edit, { minLength: 1, maxLength: 6 }), (edits) => {
        let file = readSource('', SAMPLE);
        for (const { at, length, piece: text } of edits) {
          const start = at % (file.text.length + 1);
          const changed = file.text.slice(0, start) + text + file.text.slice(start + length);
          const before = new Set(file.declarations);
          file = readSource('', changed, file);
          kept += file.declarations.filter((declaration) => before.has(declaration)).length;
          expect(contentOf(file)).toEqual(contentOf(readSource('', changed)));
        }
      }),
      { seed: 11, numRuns: 150 },
    );
    // And most of it was taken over, not read again.
    expect(kept).toBeGreaterThan(1000);
  });
});

describe('a file after an edit', () => {
  const LINES = [
    'place a\n',
    'place b\n',
    '# one\n',
    '## two\n',
    '\n',
    'run r {\n',
    '  lead 2 m\n',
    '}\n',
    'route a to b',
    '\r\n',
    '\r',
    'x',
    'place',
    '#',
    ' ',
  ];
  const text = fc.array(fc.constantFrom(...LINES), { maxLength: 14 }).map((lines) => lines.join(''));

  it('is what a first reading gives, whatever was put in or taken out', () => {
    fc.assert(
      fc.property(text, text, fc.nat(80), fc.nat(80), (before, put, a, b) => {
        const [start, end] = [Math.min(a, b, before.length), Math.min(Math.max(a, b), before.length)];
        const after = before.slice(0, start) + put + before.slice(end);
        const edited = readSource('', after, readSource('', before));
        expect(contentOf(edited)).toEqual(contentOf(readSource('', after)));
        expect(new Set(edited.declarations).size).toBe(edited.declarations.length);
      }),
      {
        numRuns: 10_000,
        examples: [
          // A line that becomes a comment belongs to the declaration below it.
          ['x\n#\nplace a\nplace b\n', '', 3, 4],
          // A keyword that goes on is none any more.
          ['place a\nplace', 'bo', 13, 13],
        ],
      },
    );
  });
});
