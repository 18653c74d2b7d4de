import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { foundFor } from '#server/checks/expected.ts';
import { analysePlan } from '../../support/plans.ts';

/** Places and circuits that an expectation is about: the right string, the right pixel, all supplies of the circuit. */
const PLAN = readFileSync(
  new URL('../../fixtures/checks/expectation-failed/found-nominal.festoon', import.meta.url),
  'utf8',
);

/** What is said of one line more in that plan. */
function said(line: string): string | undefined {
  const { findings } = analysePlan(`${PLAN}\n${line}\n`).analysis;
  const words = line.replace(/^expect /, '').split(' at ')[0] ?? '';
  return findings.filter(({ code, message }) => code === 'expectation-failed' && message.includes(words)).at(-1)
    ?.message;
}

test.each([
  // What the plan reckons: 11.8866 V in front of the first pixel, 11.8840 V at it; 11.8379 V at the 25th, where the second
  // string begins.
  ['expect row.start at least 12 V', 'row.start: 11.89 V'],
  ['expect row[1] at least 12 V', 'row[1]: 11.88 V'],
  ['expect row.right.start at least 12 V', 'row.right.start: 11.84 V'],
])('%s: %s', (line, words) => {
  expect(said(line)?.startsWith(words), said(line)).toBe(true);
});

test('a circuit is known when all of its own supplies are, whatever others are', () => {
  const { plan, account, claims } = analysePlan(`use "bench.festoon"
circuit garden   15 A  120 V
circuit kitchen  15 A  120 V
supply first   of bench-12  on garden {
  output 1  fuse 10 A
}
supply second  of bench-12  on garden {
  output 1  fuse 10 A
}
supply other   of bench-12  on kitchen {
  output 1  fuse 10 A
}
expect circuit garden at most 1 A
`).analysis;
  const [expectation] = claims.expectations;
  if (expectation === undefined) throw new Error('there is one');
  const without = (...names: string[]) =>
    foundFor(
      plan,
      { ...account, supplies: new Map([...account.supplies].filter(([{ name }]) => !names.includes(name))) },
      expectation,
    );
  const all = without();
  expect(all?.value).toBeCloseTo(0, 6);
  expect(without('other')).toEqual(all);
  expect(without('first')).toBe(undefined);
  expect(without('second')).toBe(undefined);
  expect(without('first', 'second', 'other')).toBe(undefined);
});
