import { expect, test } from 'vitest';
import { shortCodes } from '#server/papers/short-code.ts';

test('codes follow the published test vectors of FNV-1a, 64 bits', () => {
  // "foobar" hashes to 85944171f73967e8 and "a" to af63dc4c8601ec8c (published with the function); the digits are the
  // remainders by 26, lowest first.
  const digits = '234679ACDEFGHJKMNPQRTVWXYZ';
  for (const [key, hash] of [
    ['foobar', 0x85944171f73967e8n],
    ['a', 0xaf63dc4c8601ec8cn],
  ] as const) {
    let rest = hash;
    let code = '';
    for (let place = 0; place < 4; place++, rest /= 26n) code += digits[Number(rest % 26n)];
    expect(shortCodes([key]).get(key)).toBe(code);
  }
});

test('keys whose short codes are the same get longer ones, and no two are alike', () => {
  // 26^4 codes for 5,000 keys: about 27 pairs must meet (n^2 / 2m).
  const keys = Array.from({ length: 5000 }, (_, index) => `feed-${index}\nfeed\npsu.${index}\nrun.end`);
  const codes = [...shortCodes(keys).values()];
  expect(codes.length).toBe(5000);
  expect(new Set(codes).size).toBe(5000);
  expect(codes.some((code) => code.length === 5)).toBe(true);
});
