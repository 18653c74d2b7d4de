import { expect, test } from 'vitest';
import { type Fault, faultsOf } from '#server/model/faults.ts';
import { analysePlan } from '../../support/plans.ts';

/**
 * A row of 100 pixels of 60 mA, fed at both ends, each through 2 m of 14 AWG. By hand: 6 A in all, 3 A through each fuse
 * while both stand (the row is symmetric but for one pitch); 6 A through the one that is left. The lead
 * has no ground, so that no current takes a way of its own.
 */
const row = (left: number, right: number, count = 100) => `use "bench.festoon"
part cable data-wire {
  conductor 18 AWG
  carries   data
}
supply psu  of bench-12 {
  set 12 V
  output 1  fuse ${left} A  cold 1 mohm
  output 2  fuse ${right} A  cold 1 mohm
  output 3  fuse 1 A  cold 1 mohm
}
controller box  of data-board  from psu.3
run row  from box.1 {
  lead 1 m  of data-wire
  string ${count} px  of steady-12  every 20 mm
}
feed left  from psu.1  to row.start  2 m  of feed-14
feed right  from psu.2  to row.end  2 m  of feed-14
`;

function faults(text: string): Map<string, Fault> {
  const { analysis } = analysePlan(text);
  return new Map(
    faultsOf(analysis.account).map((fault) => {
      const { what } = fault;
      switch (what.kind) {
        case 'fuse':
          return [`fuse ${what.output.number}`, fault];
        case 'feed':
          return [what.feed.name, fault];
        case 'supply':
          return [what.supply.name, fault];
        case 'port-fuse':
          return [`port ${what.run.name}`, fault];
        case 'link':
          throw new Error('TODO: Not implemented yet');
      }
    }),
  );
}

test('a fuse whose load the other one can carry takes nothing with it', () => {
  const found = faults(row(10, 10));
  expect(found.get('fuse 1')?.blown).toEqual([]);
  // Drop of a row fed at one end, without the feed: 2 r I N (N + 1) / 2 = 2 * 0.02 m * 21.367 mohm/m * 0.06 A * 5050 = 0.259 V.
  // Feed: 6 A * (2 * 2 m * 8.451 mohm/m + fuse, splices and droop, at most 6 mohm) = 0.203 to 0.239 V. All stay above 10.8 V.
  expect(found.get('fuse 1')?.runs).toEqual([]);
});

test('a fuse whose load the other one cannot carry takes it along, and all is dark', () => {
  const found = faults(row(10, 5));
  const first = found.get('fuse 1');
  expect(first?.blown.map((output) => output.number)).toEqual([2]);
  expect(first?.runs.map(({ dark, low }) => ({ dark, low }))).toEqual([{ dark: [{ from: 1, to: 100 }], low: [] }]);
  // The other way round the 10 A fuse carries the 6 A.
  expect(found.get('fuse 2')?.blown).toEqual([]);
});

test('a supply that dies leaves its whole run dark', () => {
  const found = faults(row(10, 10));
  expect(found.get('psu')?.runs.map(({ dark }) => dark)).toEqual([[{ from: 1, to: 100 }]]);
});

test('a lost feed names the pixels that fall below what they need', () => {
  // 300 pixels at 20 mm, 18 A: fed at the left end only, pixel k sees V0 - 2 r I (k N - k (k - 1) / 2) with r = 0.02 * 21.367 mohm
  // and V0 = 12 V - 18 A * (1 + 1 + 2 * 1 + 2 * 2 * 8.451) mohm = 11.3195 V (droop, fuse, two splices, feed).
  const count = 300;
  const start = 12 - 18 * (0.001 + 0.001 + 2 * 0.001 + 2 * 2 * 0.008451);
  const volts = (k: number) => start - 2 * 0.02 * 0.021367 * 0.06 * (k * count - (k * (k - 1)) / 2);
  let first = 1;
  while (volts(first) >= 10.8) first++;
  const lost = faults(row(30, 30, count)).get('right');
  expect(lost?.runs).toHaveLength(1);
  expect(lost?.runs[0]?.low).toEqual([{ from: first, to: count }]);
  expect(lost?.runs[0]?.leastVolts).toBeCloseTo(volts(count), 2);
});

test('a board that loses its fuse takes its runs with it, though their pixels still have power', () => {
  const fault = faults(row(10, 10)).get('fuse 3');
  expect(fault?.runs.map(({ run, dark, noData }) => [run.name, dark, noData])).toEqual([
    ['row', [{ from: 1, to: 100 }], true],
  ]);
});
