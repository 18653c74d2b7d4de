import { expect, it } from 'vitest';
import { changesOf } from '#server/analysis/changed-lines.ts';

/** What makes one text of another. */

function made(before: string, after: string): string {
  let [text, at] = ['', 0];
  for (const { start, gone, come } of changesOf(before, after)) {
    expect(before.slice(start, start + gone.join('').length)).toBe(gone.join(''));
    text += before.slice(at, start) + come.join('');
    at = start + gone.join('').length;
  }
  return text + before.slice(at);
}

it('makes every short text of every other', () => {
  const lines = ['a\n', 'b\r\n', '\n'];
  let texts = [''];
  for (let length = 0; length < 3; length++)
    texts = [...new Set(['', 'a', ...texts.flatMap((text) => ['', ...lines, 'a'].map((line) => line + text))])];
  expect(texts.length).toBeGreaterThan(50);
  for (const before of texts) for (const after of texts) expect(made(before, after)).toBe(after);
});

it('finds lines that are put in, and one that is changed, as just that', () => {
  expect(changesOf('a\nb\nc\n', 'a\nx\ny\nb\nC\n')).toEqual([
    { start: 2, gone: [], come: ['x\n', 'y\n'] },
    { start: 4, gone: ['c\n'], come: ['C\n'] },
  ]);
  expect(changesOf('a\nb\n', 'a\nb\n')).toEqual([]);
});
