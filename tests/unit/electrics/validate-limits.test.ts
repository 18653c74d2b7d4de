/**
 * Every number of a circuit met exactly at its bounds, and stepped over. The bounds are those that `circuit.ts` and
 * `circuitLimits` promise; the first numbers beyond them differ by the least that a number can.
 */
import { describe, expect, test } from 'vitest';
import type { Circuit, Load, LoadChannel, LoadModel, Source, Stretch } from '#server/electrics/circuit.ts';
import { validateCircuit } from '#server/electrics/validate.ts';
import { circuitOf, constantAmps } from '../../support/circuits.ts';

/** The next number above and below. */
const above = (x: number) => (x === 0 ? Number.MIN_VALUE : x * (1 + 2 ** -52));
const below = (x: number) => (x === 0 ? -Number.MIN_VALUE : x * (1 - 2 ** -53));

const sound: Circuit = circuitOf({ nodeCount: 5 });
const model = constantAmps(0.02);
const resistor = (ohms: number) => ({ ...sound, resistors: [{ a: 0, b: 1, ohms }] });
const source = (change: Partial<Source>) => ({
  ...sound,
  sources: [{ positive: 0, negative: 1, volts: 12, ohms: 0.1, maxAmps: 5, ...change }],
});
const load = (change: Partial<Load>) => ({
  ...sound,
  loads: [{ positive: 0, negative: 1, model, scale: 1, ...change }],
});
const stretch = (change: Partial<Stretch>) => ({
  ...sound,
  stretches: [
    {
      positiveStart: 0,
      negativeStart: 1,
      positiveEnd: 2,
      negativeEnd: 3,
      count: 5,
      positiveOhms: 0.01,
      negativeOhms: 0.01,
      model,
      scale: 1,
      ...change,
    },
  ],
});
const idle = (change: Partial<LoadModel>) =>
  load({ model: { quiescentAmps: 0.001, quiescentVolts: 3, channels: [], ...change } });
const channel = (...channels: LoadChannel[]) => idle({ channels });
const regulated = { kind: 'regulated', amps: 0.02, zeroVolts: 2, kneeVolts: 3 } as const;
const resistive = { kind: 'resistive', ohms: 100, forwardVolts: 3 } as const;
const converter = { kind: 'converter', watts: 1, lockoutVolts: 6 } as const;

interface Bound {
  readonly name: string;
  readonly with: (value: number) => Circuit;
  readonly least: number;
  readonly most: number;
  readonly what: string;
  /** The bounds themselves are out already. */
  readonly isOpenBelow?: boolean;
}

const bounds: Bound[] = [
  { name: 'resistor', with: resistor, least: 1e-6, most: 1e9, what: 'ohms-out-of-range' },
  {
    name: 'volts of a source',
    with: (volts) => source({ volts }),
    least: 0,
    isOpenBelow: true,
    most: 1e4,
    what: 'volts-out-of-range',
  },
  { name: 'droop', with: (ohms) => source({ ohms }), least: 0, most: 1e9, what: 'ohms-out-of-range' },
  {
    name: 'limit of a source',
    with: (maxAmps) => source({ maxAmps }),
    least: 0,
    isOpenBelow: true,
    most: Infinity,
    what: 'amps-out-of-range',
  },
  { name: 'scale of a load', with: (scale) => load({ scale }), least: 0, most: 1e6, what: 'scale-out-of-range' },
  { name: 'scale of pixels', with: (scale) => stretch({ scale }), least: 0, most: 1e6, what: 'scale-out-of-range' },
  {
    name: 'V+ of a string',
    with: (positiveOhms) => stretch({ positiveOhms }),
    least: 1e-6,
    most: 1e9,
    what: 'ohms-out-of-range',
  },
  {
    name: 'ground of a string',
    with: (negativeOhms) => stretch({ negativeOhms }),
    least: 1e-6,
    most: 1e9,
    what: 'ohms-out-of-range',
  },
  {
    name: 'idle amps',
    with: (quiescentAmps) => idle({ quiescentAmps }),
    least: 0,
    most: 1e7,
    what: 'amps-out-of-range',
  },
  {
    name: 'volts of what idles',
    with: (quiescentVolts) => idle({ quiescentVolts }),
    least: 0,
    isOpenBelow: true,
    most: 1e4,
    what: 'model-out-of-range',
  },
  {
    name: 'regulated amps',
    with: (amps) => channel({ ...regulated, amps }),
    least: 0,
    most: 1e7,
    what: 'model-out-of-range',
  },
  {
    name: 'knee',
    with: (kneeVolts) => channel({ ...regulated, zeroVolts: 0, kneeVolts }),
    least: 1e-6,
    most: 1e4,
    what: 'model-out-of-range',
  },
  {
    name: 'ohms of a load',
    with: (ohms) => channel({ ...resistive, ohms }),
    least: 1e-6,
    most: 1e9,
    what: 'model-out-of-range',
  },
  {
    name: 'forward volts',
    with: (forwardVolts) => channel({ ...resistive, forwardVolts }),
    least: 0,
    most: 1e4,
    what: 'model-out-of-range',
  },
  {
    name: 'watts',
    with: (watts) => channel({ ...converter, watts }),
    least: 0,
    most: 1e9,
    what: 'model-out-of-range',
  },
  {
    name: 'lockout',
    with: (lockoutVolts) => channel({ ...converter, lockoutVolts }),
    least: 1e-3,
    most: 1e4,
    what: 'model-out-of-range',
  },
];

describe.each(bounds)('$name', ({ with: make, least, most, what, isOpenBelow }) => {
  const found = (value: number) => validateCircuit(make(value)).map((problem) => [problem.what, problem.value]);

  test('at the bounds and between them is sound', () => {
    expect(found(isOpenBelow ? above(least) : least)).toEqual([]);
    expect(found(most)).toEqual([]);
    expect(found(Math.min(1, (least + most) / 2))).toEqual([]);
  });

  test('beyond them is named with its value', () => {
    const low = isOpenBelow ? least : below(least);
    expect(found(low)).toEqual([[what, low]]);
    if (most < Infinity) expect(found(above(most))).toEqual([[what, above(most)]]);
    expect(found(Number.NaN)).toEqual([[what, Number.NaN]]);
  });
});

test('whole numbers: nodes and pixels', () => {
  const problems = (circuit: Circuit) => validateCircuit(circuit).map(({ what, value }) => [what, value]);
  expect(problems(stretch({ count: 1 }))).toEqual([]);
  expect(problems(stretch({ count: 1e7 }))).toEqual([]);
  expect(problems(stretch({ count: 0 }))).toEqual([['count-out-of-range', 0]]);
  expect(problems(stretch({ count: 1e7 + 1 }))).toEqual([['count-out-of-range', 1e7 + 1]]);
  for (const node of ['positiveStart', 'negativeStart', 'positiveEnd', 'negativeEnd'] as const) {
    expect(problems(stretch({ [node]: 4 }))).toEqual([]);
    expect(problems(stretch({ [node]: 5 }))).toEqual([['node-out-of-range', 5]]);
    expect(problems(stretch({ [node]: -1 }))).toEqual([['node-out-of-range', -1]]);
  }
  for (const node of ['positive', 'negative'] as const) {
    expect(problems(load({ [node]: 4 }))).toEqual([]);
    expect(problems(load({ [node]: 5 }))).toEqual([['node-out-of-range', 5]]);
    expect(problems(source({ [node]: 4 }))).toEqual([]);
    expect(problems(source({ [node]: 5 }))).toEqual([['node-out-of-range', 5]]);
  }
  expect(validateCircuit(circuitOf({ nodeCount: 1e7 }))).toEqual([]);
  expect(validateCircuit(circuitOf({ nodeCount: 1e7 + 1 }))).toHaveLength(1);
});

test('twenty million pixels are taken, one more is too many, and a count that cannot be is not added to them', () => {
  const rows = (...counts: number[]) => ({
    ...sound,
    stretches: counts.map((count) => ({ ...stretch({}).stretches[0]!, count })),
  });
  expect(validateCircuit(rows(1e7, 1e7))).toEqual([]);
  expect(validateCircuit(rows(1e7, 1e7, 1))).toEqual([
    { element: 'circuit', id: 0, what: 'too-many-pixels', value: 20_000_001 },
  ]);
  expect(validateCircuit(rows(1e7, 1e7, 3e7)).map(({ what }) => what)).toEqual(['count-out-of-range']);
});

test('an element with several faults is named once, by the first', () => {
  expect(validateCircuit({ ...sound, resistors: [{ a: 9, b: -1, ohms: 0 }] })).toEqual([
    { element: 'resistor', id: 0, what: 'node-out-of-range', value: 9 },
  ]);
  expect(validateCircuit(stretch({ count: 0, positiveOhms: 0, scale: -1 }))).toEqual([
    { element: 'stretch', id: 0, what: 'count-out-of-range', value: 0 },
  ]);
});

test('a foot below zero, a knee too narrow, and what idles at no volts without a current', () => {
  const found = (circuit: Circuit) => validateCircuit(circuit).map(({ value }) => value);
  expect(found(channel({ ...regulated, zeroVolts: -1e-9 }))).toEqual([-1e-9]);
  expect(found(channel({ ...regulated, zeroVolts: 3 - 2e-6 }))).toEqual([]);
  expect(found(channel({ ...regulated, zeroVolts: 3 - 5e-7 }))).toEqual([3]);
  expect(found(idle({ quiescentAmps: 0, quiescentVolts: 0 }))).toEqual([]);
});

test('a model is named by its first fault, at each element that uses it; a sound one in between changes nothing', () => {
  const bad: LoadModel = { quiescentAmps: 0.001, quiescentVolts: 3, channels: [converter, { ...resistive, ohms: -1 }] };
  const loads = [bad, model, model, bad, bad].map((each) => ({ positive: 0, negative: 1, model: each, scale: 1 }));
  const problem = (id: number) => ({ element: 'load', id, what: 'model-out-of-range', value: -1 });
  expect(validateCircuit({ ...sound, loads })).toEqual([problem(0), problem(3), problem(4)]);
  const idleBad: LoadModel = { ...bad, quiescentAmps: -2 };
  expect(validateCircuit(load({ model: idleBad }))).toEqual([
    { element: 'load', id: 0, what: 'amps-out-of-range', value: -2 },
  ]);
  // A sound model with a scale that cannot be is named each time.
  const scaled = [1, -1, 1, -1].map((scale) => ({ positive: 0, negative: 1, model, scale }));
  expect(validateCircuit({ ...sound, loads: scaled }).map(({ id }) => id)).toEqual([1, 3]);
});
