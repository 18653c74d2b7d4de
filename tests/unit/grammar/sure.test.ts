import { expect, it } from 'vitest';
import { sure } from '#grammar/sure.ts';

it('gives what is there, also where it is nothing much, and stops at what is not', () => {
  for (const value of [0, '', false, null]) expect(sure(value)).toBe(value);
  expect(() => sure([1, 2][2])).toThrow('internal');
  expect(() => sure(new Map<string, number>().get('eaves'))).toThrow('internal');
});
