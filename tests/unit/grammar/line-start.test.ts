import { expect, it } from 'vitest';
import { lineStart } from '#grammar/line-start.ts';

it.each([
  ['one\ntwo', 5, 4],
  ['one\ntwo', 4, 4],
  ['one\ntwo', 3, 0],
  ['one\r\ntwo', 8, 5],
  ['one\rtwo', 6, 4],
  ['\none', 0, 0],
  ['one\ntwo', 99, 4],
  ['', 0, 0],
])('the line of %j at %i starts at %i', (text, offset, start) => {
  expect(lineStart(text, offset)).toBe(start);
});
