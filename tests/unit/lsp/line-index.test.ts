import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { LineIndex } from '#server/lsp/line-index.ts';

const text = fc
  .array(fc.constantFrom('a', '\r', '\n', 'é', '\u{1f384}', ' '), { maxLength: 30 })
  .map((parts) => parts.join(''));

describe('a line index after an edit', () => {
  it('is what a first reading of the text gives', () => {
    fc.assert(
      fc.property(text, text, fc.nat(40), fc.nat(40), (before, put, a, b) => {
        const [start, end] = [Math.min(a, b, before.length), Math.min(Math.max(a, b), before.length)];
        const edited = new LineIndex(before, 'utf-16').edited(start, end, put);
        const fresh = new LineIndex(before.slice(0, start) + put + before.slice(end), 'utf-16');
        expect(edited).toEqual(fresh);
      }),
      { numRuns: 2000 },
    );
  });
});

/** How long a text is as each client counts it: by Node's own encoder, by its code units, by its code points. */
const LENGTHS = {
  'utf-8': (piece: string) => Buffer.byteLength(piece),
  'utf-16': (piece: string) => piece.length,
  'utf-32': (piece: string) => [...piece].length,
} as const;

describe.each(Object.keys(LENGTHS) as (keyof typeof LENGTHS)[])('a column in %s', (encoding) => {
  const line = 'a é Ω 屋 \u{1f384} z';

  it('is the length of what stands before it, and leads back there', () => {
    const index = new LineIndex(`first\n${line}\nlast`, encoding);
    let offset = 'first\n'.length;
    for (const character of line) {
      const position = index.positionAt(offset);
      expect(position).toEqual({ line: 1, character: LENGTHS[encoding](line.slice(0, offset - 6)) });
      expect(index.offsetAt(position)).toBe(offset);
      offset += character.length;
    }
  });

  it('inside a character counts as in front of it, behind the end as the end', () => {
    const index = new LineIndex(line, encoding);
    const tree = line.indexOf('\u{1f384}');
    const before = LENGTHS[encoding](line.slice(0, tree));
    if (encoding !== 'utf-32') expect(index.offsetAt({ line: 0, character: before + 1 })).toBe(tree);
    expect(index.offsetAt({ line: 0, character: 10_000 })).toBe(line.length);
  });
});
