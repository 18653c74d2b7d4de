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
