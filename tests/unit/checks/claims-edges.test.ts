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

/** A run that sags, its supply and its feed of the same name; what is left of the findings when a line accepts. */
const SAGGING = `use "bench.festoon"
supply row  of bench-12 {
  outputs 1 to 2  fuse 10 A
}
controller box  of data-board  from row.2
run row  from box.1 {
  lead 1 m  of data-18
  string 100 px  of steady-12  every 100 mm
}
feed row  from row.1  to row.start  1 m  of feed-14
`;
const left = (line: string) => analysePlan(`${SAGGING}${line}\n`).analysis.findings.map(({ code }) => code);

test('what is accepted of a name holds for everything that has it', () => {
  expect(left('')).toContain('low-voltage');
  expect(left('accept low-voltage of row  because "it is a lamp"')).not.toContain('low-voltage');
});

test('an accept line of which the thing is missing says that alone', () => {
  const said = (line: string) =>
    analysePlan(`${SAGGING}${line}\n`).analysis.findings.flatMap(({ code, message }) =>
      code === 'low-voltage' ? [] : [message],
    );
  expect(said('accept low-voltage  because "x"  of')).toEqual([
    expect.stringContaining('Nothing that fits follows "of"'),
  ]);
  expect(said('accept low-voltage  because "x"  along')).toEqual([
    expect.stringContaining('Nothing that fits follows "along"'),
  ]);
  expect(said('accept low-voltage  because "x"')).toEqual([expect.stringContaining('Say once where it is accepted')]);
  expect(said('accept low-voltage of row  everywhere  because "x"')).toEqual([
    expect.stringContaining('Say once where it is accepted'),
  ]);
});

test('a code that is like none is told where the codes are', () => {
  const said = (code: string) =>
    analysePlan(`${SAGGING}accept ${code} everywhere  because "x"\n`).analysis.findings.find(
      (finding) => finding.code === 'unknown-name',
    );
  expect(said('low-voltag')?.message).toContain('Did you mean "low-voltage"?');
  expect(said('qqqqqqqqqqqqqqqq')).toMatchObject({
    message: expect.stringContaining('festoon explain lists'),
    fixes: [],
  });
});
