import { expect, test } from 'vitest';
import { spotsOf, thinned } from '#server/planning/spots.ts';
import { analysePlan } from '../../support/plans.ts';

/** Where a hand can reach a run, by the names that a plan would use. */
const HEAD = `use "bench.festoon"
supply psu  of bench-12 {
  outputs 1 to 3  fuse 10 A
}
controller box  of data-board  from psu.1
prop flake {
  ring arm  12 px  of steady-12  every 50 mm
  string tail  3 px  of steady-12  every 50 mm
}
`;
const spots = (lines: string, more = '', middle = false) => {
  const { plan } = analysePlan(`${HEAD}run row  from box.1 {\n  lead 1 m  of data-18\n${lines}\n}\n${more}`).analysis;
  const run = plan.runs.get('row');
  if (run === undefined) throw new Error('no run');
  return spotsOf(plan, run, middle).map(({ text, before, way }) => [text, before, Number(way.toFixed(3))]);
};
const line = (name: string, pixels: number) => `  string ${name} ${pixels} px  of steady-12  every 50 mm`;

test('the ends of strings, by their names; a string without one by its pixel', () => {
  // 20 pitches of 50 mm are a metre.
  expect(spots([line('a', 20), line('b', 20), line('', 20)].join('\n'))).toEqual([
    ['row.a', 0, 0],
    ['row.b', 20, 1],
    ['row[40]', 40, 2],
    ['row.end', 60, 3],
  ]);
  expect(spots(line('', 20))).toEqual([
    ['row.start', 0, 0],
    ['row.end', 20, 1],
  ]);
});

test('each copy of a prop by its number, at its first string alone', () => {
  // A copy is 15 pixels, and a metre of gap lies between two of them; both sides of it are no places of their own.
  expect(
    spots('  copies flakes  2  of flake  gap 1 m  through feed-14').map(([text, before]) => [text, before]),
  ).toEqual([
    ['row.flakes(1)', 0],
    ['row[12]', 12],
    ['row.flakes(2)', 15],
    ['row[27]', 27],
    ['row.end', 30],
  ]);
});

test('both sides of a gap that is longer than a metre', () => {
  const two = (gap: string) => spots(`${line('a', 20)}\n  gap ${gap}\n${line('b', 20)}`).map(([text]) => text);
  expect(two('1 m')).toEqual(['row.a', 'row.b', 'row.end']);
  expect(two('1.1 m')).toEqual(['row.a', 'row[20]', 'row.b', 'row.end']);
});

test('no joint that is tapped already, from whichever side of it', () => {
  const feed = (to: string) => `feed f  from psu.2  to ${to}  1 m  of feed-14\n`;
  const two = [line('a', 20), line('b', 20)].join('\n');
  expect(spots(two, feed('row[20]')).map(([text]) => text)).toEqual(['row.a', 'row.end']);
  expect(spots(two, feed('row.b')).map(([text]) => text)).toEqual(['row.a', 'row.end']);
  expect(spots(two, feed('row.end')).map(([text]) => text)).toEqual(['row.a', 'row.b']);
});

test('round numbers inside strings where they are to be opened', () => {
  // 500 pixels in some 24 parts: every 50th, and no further one where the ends are.
  const inside = spots(line('a', 500), '', true).map(([text]) => text);
  expect(inside).toEqual(['row.a', ...[1, 2, 3, 4, 5, 6, 7, 8, 9].map((each) => `row[${each * 50}]`), 'row.end']);
});

test('nothing of a run without strings', () => {
  expect(spots('')).toEqual([]);
});

test('of very many spots some are looked at, evenly, with the first and the last', () => {
  const { plan } = analysePlan(
    `${HEAD}run row  from box.1 {\n  lead 1 m  of data-18\n  matrix m  100 strands x 2 px  of steady-12  every 50 mm  spacing 50 mm\n}\n`,
  ).analysis;
  const run = plan.runs.get('row');
  if (run === undefined) throw new Error('no run');
  const all = spotsOf(plan, run, false);
  // Before each strand, and behind the last one.
  expect(all).toHaveLength(101);
  const some = thinned(all, false).map(({ before }) => before);
  expect(some).toHaveLength(40);
  expect([some[0], some.at(-1)]).toEqual([0, 200]);
  // 100 steps in 39: from one to the next it is two or three strands of two pixels.
  const steps = some.slice(1).map((before, index) => before - (some[index] ?? 0));
  expect(new Set(steps)).toEqual(new Set([4, 6]));
  expect(thinned(all.slice(0, 40), false)).toEqual(all.slice(0, 40));
});
