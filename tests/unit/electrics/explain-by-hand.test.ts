/**
 * Bad joints on a ladder that a hand can reckon: a supply, three constant currents one behind another, no simulator.
 * Node 0 is V+, 1 ground; from 0 over resistors 0, 1, 2 to the loads of 1, 2 and 3 A at nodes 2, 3, 4, all to ground.
 */
import { describe, expect, test } from 'vitest';
import type { Circuit } from '#server/electrics/circuit.ts';
import { explainReadings, type Reading } from '#server/electrics/explain-readings.ts';
import { circuitOf, constantAmps, ideal } from '../../support/circuits.ts';

const ohms = [0.05, 0.1, 0.2];
const amps = [1, 2, 3];
/** What each resistor carries: 6, 5 and 3 A. */
const carried = [6, 5, 3];

const ladder = (look = 1): Circuit =>
  circuitOf({
    nodeCount: 5,
    sources: [{ ...ideal(0, 1, 12), ohms: 1e-6 }],
    resistors: ohms.map((each, i) => ({ a: i === 0 ? 0 : i + 1, b: i + 2, ohms: each })),
    loads: amps.map((each, i) => ({ positive: i + 2, negative: 1, model: constantAmps(each), scale: look })),
  });

/** Volts at the three loads when the resistors have this much more: sums of what each carries times its ohms. */
function volts(extra: readonly number[], look = 1): number[] {
  // The supply is taken to have a micro-ohm.
  let at = 12 - 6e-6 * look;
  return ohms.map((each, i) => {
    at -= (each + (extra[i] ?? 0)) * (carried[i] as number) * look;
    return at;
  });
}

const readings = (said: readonly number[], sigma = 0.01): Reading[] =>
  said.map((each, i) => ({ positive: i + 2, negative: 1, volts: each, sigma }));

describe('one resistor larger than planned', () => {
  test.each([
    [0, 0.03],
    [1, 0.08],
    [2, 0.4],
  ])('resistor %i by %f ohm: what it adds, and what is left unexplained', (resistor, more) => {
    const extra = [0, 0, 0].with(resistor, more);
    const said = volts(extra);
    const found = explainReadings([{ circuit: ladder(), readings: readings(said) }]);
    // Every load behind it reads lower by what it carries times what it adds, in units of 10 mV.
    const misfit = volts([]).reduce((sum, each, i) => sum + ((each - said[i]!) / 0.01) ** 2, 0);
    expect(found?.misfit).toBeCloseTo(misfit, 1);
    const best = found?.suspects[0];
    expect(best?.resistor).toBe(resistor);
    expect(best?.extraOhms).toBeCloseTo(more, 5);
    expect(best?.misfit).toBeLessThan(1e-3);
  });
});

test('several looks at the same joints are fitted together', () => {
  const looks = [1, 0.5];
  const cases = looks.map((look) => ({ circuit: ladder(look), readings: readings(volts([0, 0.05, 0], look)) }));
  const best = explainReadings(cases)?.suspects[0];
  expect(best?.resistor).toBe(1);
  expect(best?.extraOhms).toBeCloseTo(0.05, 5);
});

test('the odds of a small difference, by the weights that the file writes down', () => {
  // The last load reads 12 mV low and nothing else does: by 3 A that is 4 milliohm in the last resistor, exactly.
  const said = volts([]).with(2, volts([])[2]! - 0.012);
  const found = explainReadings([{ circuit: ladder(), readings: readings(said) }])!;
  // S = 1.2^2. A resistor before lowers two or three loads alike; the best then leaves S (1 - 1/2) or S (1 - 1/3)
  // in the ratio of what it carries: resistor 1 lowers loads 2 and 3 by 5 A each, resistor 0 all three by 6 A each.
  const s = 1.44;
  const left = [s * (1 - 1 / 3), s * (1 - 1 / 2), 0];
  const weight = 1 / (3 * Math.sqrt(3));
  const likely = (misfit: number) => Math.exp(-misfit / 2);
  const sum = likely(s) + left.reduce((total, misfit) => total + weight * likely(misfit), 0);
  expect(found.misfit).toBeCloseTo(s, 4);
  expect(found.nothingWrong).toBeCloseTo(likely(s) / sum, 4);
  expect(found.suspects.map(({ resistor }) => resistor)).toEqual([2, 1, 0]);
  for (const { resistor, odds, misfit } of found.suspects) {
    expect(misfit).toBeCloseTo(left[resistor]!, 4);
    expect(odds).toBeCloseTo((weight * likely(left[resistor]!)) / sum, 4);
  }
  // 4, 12 / (2 x 5) and 12 / (3 x 6) milliohm.
  const extra = new Map(found.suspects.map(({ resistor, extraOhms }) => [resistor, extraOhms]));
  expect(extra.get(2)).toBeCloseTo(0.004, 6);
  expect(extra.get(1)).toBeCloseTo(0.0012, 6);
  expect(extra.get(0)).toBeCloseTo(0.012 / 18, 6);
});

test('readings that are too high speak against no joint: none can have less than its ohms', () => {
  const said = volts([]).map((each) => each + 0.05);
  const found = explainReadings([{ circuit: ladder(), readings: readings(said) }]);
  expect(found?.suspects).toEqual([]);
  expect(found?.nothingWrong).toBe(1);
});

test('each reading counts by its own meter', () => {
  // 30 mV low at the last load by a meter of 30 mV, and right at the others by meters of 1 mV: hardly anything is wrong.
  const said = volts([]);
  const poor = readings(said, 0.001).with(2, { positive: 4, negative: 1, volts: said[2]! - 0.03, sigma: 0.03 });
  const found = explainReadings([{ circuit: ladder(), readings: poor }])!;
  expect(found.misfit).toBeCloseTo(1, 3);
  expect(found.suspects[0]?.resistor).toBe(2);
  expect(found.nothingWrong).toBeGreaterThan(0.5);
});

test('what hardly counts beside the best is left out', () => {
  const said = volts([0, 0, 0.4]);
  const found = explainReadings([{ circuit: ladder(), readings: readings(said, 0.001) }])!;
  expect(found.suspects.map(({ resistor }) => resistor)).toEqual([2]);
  expect(found.suspects[0]?.odds).toBeCloseTo(1, 6);
  expect(found.nothingWrong).toBeLessThan(1e-9);
});

test('an open contact is worth a hundred ohms and no more', () => {
  // A lamp of 10 ohm behind it: read 0 V where 12 V were planned; at 100 ohm it still reads 12 x 10 / 110.1 V.
  const circuit = circuitOf({
    nodeCount: 3,
    sources: [{ ...ideal(0, 1, 12), ohms: 1e-6 }],
    resistors: [
      { a: 0, b: 2, ohms: 0.1 },
      { a: 2, b: 1, ohms: 10 },
    ],
  });
  const found = explainReadings([{ circuit, readings: [{ positive: 2, negative: 1, volts: 0, sigma: 0.1 }] }])!;
  const open = found.suspects.find(({ resistor }) => resistor === 0);
  expect(open?.extraOhms).toBeCloseTo(100, 6);
  expect(open?.misfit).toBeCloseTo((120 / 110.1 / 0.1) ** 2, 2);
});

test('what no supply feeds reads nothing, and no networks give no answer', () => {
  const dark = circuitOf({ nodeCount: 3, resistors: [{ a: 0, b: 1, ohms: 1 }] });
  const found = explainReadings([
    { circuit: dark, readings: [{ positive: 0, negative: 1, volts: 0.02, sigma: 0.01 }] },
  ]);
  expect(found).toMatchObject({ nothingWrong: 1, suspects: [] });
  expect(found?.misfit).toBeCloseTo(4, 9);
  expect(explainReadings([])).toBeUndefined();
});
