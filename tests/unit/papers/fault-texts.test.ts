import { expect, it } from 'vitest';
import type { Fault } from '#server/model/faults.ts';
import { effectsOf } from '#server/papers/fault-texts.ts';
import { analysePlan } from '../../support/plans.ts';

/** What is told of a fault, on paper and in the terminal. */
const { plan } = analysePlan(`use "bench.festoon"
supply psu  of bench-12 {
  output 1  fuse 15 A
}
controller box  of board  from psu.1
run eaves  from box.1 {
  string 20 px  of steady-12  every 50 mm
}
`).analysis;
const [run] = plan.runs.values();
const [supply] = plan.supplies.values();
if (run === undefined || supply === undefined) throw new Error('the plan is empty');

const fault: Fault = { what: { kind: 'supply', supply }, runs: [], blown: [], unsolved: false };
const range = (from: number, to = from) => ({ from, to });

it('four ranges of pixels at most, and the whole run in a word', () => {
  const dark = [range(1), range(3), range(5, 6), range(8)];
  const effects = (ranges: typeof dark) =>
    effectsOf({ ...fault, runs: [{ run, dark: ranges, low: [], leastVolts: 0, noData: false }] }).dark;
  expect(effects(dark)).toEqual(['eaves [1, 3, 5–6, 8]']);
  expect(effects([...dark, range(10)])).toEqual(['eaves [1, 3, 5–6, 8, …]']);
  expect(effects([range(1, 20)])).toEqual(['eaves (all)']);
});

it('where no steady state is found nothing else is told', () => {
  expect(effectsOf({ ...fault, unsolved: true })).toEqual({
    dark: ['no steady state is found'],
    dim: [],
    blown: [],
  });
});
