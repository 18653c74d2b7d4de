/** A bad contact put into a network by the simulator, and found again from the voltages that a meter would show. */
import { beforeAll, describe, expect, test } from 'vitest';
import type { Circuit } from '#server/electrics/circuit.ts';
import { type Diagnosis, diagnose, type Reading } from '#server/electrics/diagnose.ts';
import { circuitOf, constantAmps, ideal, resistive, solved } from '../../support/circuits.ts';
import { randomCircuit, seededRandom } from '../../support/random-circuit.ts';
import { type Spice, startSpice } from '../../support/spice.ts';

let spice: Spice;
beforeAll(async () => {
  spice = await startSpice();
});

function diagnosed(circuit: Circuit, readings: readonly Reading[]): Diagnosis {
  const diagnosis = diagnose(circuit, readings);
  if (diagnosis.status !== 'diagnosed') throw new Error(diagnosis.status);
  return diagnosis;
}

/** A meter at both ends of every stretch. */
function readAll(circuit: Circuit, nodeVolts: Float64Array, sigma: number, error: () => number): Reading[] {
  const pairs = circuit.stretches.flatMap((s) => [
    [s.positiveStart, s.negativeStart] as const,
    [s.positiveEnd, s.negativeEnd] as const,
  ]);
  return pairs.map(([positive, negative]) => {
    const volts = nodeVolts[positive]! - nodeVolts[negative]! + error();
    return { positive, negative, volts, sigma };
  });
}

test('random networks: the resistor is found, and how bad it is', { timeout: 60_000 }, async () => {
  let found = 0;
  let exact = 0;
  for (let seed = 300; seed < 330; seed++) {
    const kinds = seed % 2 === 0 ? (['regulated'] as const) : (['knees'] as const);
    const { circuit, references } = randomCircuit(seed, { kinds, mostPixels: 40, mayLimit: false });
    const good = solved(circuit);
    // The one that carries most of all but the bleeders, and so shows best.
    const bad = good.resistorAmps.reduce((best, amps, i, all) => (Math.abs(amps) > Math.abs(all[best]!) ? i : best), 0);
    const extra = 0.5 / Math.abs(good.resistorAmps[bad]!);
    const faulted = {
      ...circuit,
      resistors: circuit.resistors.map((r, i) => (i === bad ? { ...r, ohms: r.ohms + extra } : r)),
    };
    const near = solved(faulted).nodeVolts.map((volts) => volts * 0.9999);
    const measured = await spice.nodeVolts(faulted, references, near);
    const { suspects, overNoFault } = diagnosed(
      circuit,
      readAll(circuit, measured, 0.001, () => 0),
    );
    const [first] = suspects;
    expect([first?.resistor, ...(first?.alike ?? [])], `seed ${seed}`).toContain(bad);
    // One in parallel with it would have to be worse to the same effect.
    if (first!.resistor === bad) {
      expect(first!.extraOhms / extra, `seed ${seed}`).toBeCloseTo(1, 2);
      exact++;
    }
    expect(overNoFault).toBeGreaterThan(5);
    found++;
  }
  expect(found).toBe(30);
  expect(exact).toBeGreaterThan(15);
});

describe('how sure', () => {
  // Supply - 0.1 - a - 0.1 - b, 2 A at a and 1 A at b, the same on the way back: the return carries 0.02 ohm each.
  const circuit = circuitOf({
    nodeCount: 6,
    sources: [ideal(0, 1, 12)],
    resistors: [
      { a: 0, b: 2, ohms: 0.1 },
      { a: 2, b: 4, ohms: 0.1 },
      { a: 1, b: 3, ohms: 0.02 },
      { a: 3, b: 5, ohms: 0.02 },
    ],
    loads: [
      { positive: 2, negative: 3, model: constantAmps(2), scale: 1 },
      { positive: 4, negative: 5, model: constantAmps(1), scale: 1 },
    ],
  });
  const reading = (positive: number, negative: number, volts: number): Reading => ({
    positive,
    negative,
    volts,
    sigma: 0.01,
  });
  // By hand: a is at 12 - 3 (0.1 + 0.02) = 11.64 V, b at 11.64 - 1 (0.12) = 11.52 V.
  const [a, b] = [11.64, 11.52];

  test('readings as computed: nothing to find', () => {
    const { residuals, suspects, misfit } = diagnosed(circuit, [reading(2, 3, a), reading(4, 5, b)]);
    for (const residual of residuals) expect(Math.abs(residual)).toBeLessThan(1e-5);
    expect(misfit).toBeLessThan(1e-3);
    expect(suspects.every((suspect) => suspect.misfit <= misfit)).toBe(true);
  });

  test('0.3 V missing at both: the first section, out or back, 0.1 ohm at 3 A', () => {
    const { residuals, suspects, misfit, overNoFault, overRunnerUp } = diagnosed(circuit, [
      reading(2, 3, a - 0.3),
      reading(4, 5, b - 0.3),
    ]);
    expect([...residuals].map((volts) => Math.round(volts * 1e4) / 1e4)).toEqual([-0.3, -0.3]);
    expect([suspects[0]!.resistor, ...suspects[0]!.alike].sort()).toEqual([0, 2]);
    expect(suspects[0]!.extraOhms).toBeCloseTo(0.1, 3);
    // (0.3 / 0.01)^2 for either reading; the second section explains one of them at best.
    expect(misfit).toBeCloseTo(1800, 0);
    expect(overNoFault).toBeCloseTo(900, 0);
    expect(overRunnerUp).toBeCloseTo(450, 0);
    expect([suspects[1]!.resistor, ...suspects[1]!.alike].sort()).toEqual([1, 3]);
  });

  test('a reading against the far ground tells the way out from the way back', () => {
    const readings = [reading(2, 3, a - 0.3), reading(4, 5, b - 0.3), reading(2, 1, 12 - 0.3)];
    const { suspects } = diagnosed(circuit, readings);
    // 3 A through the return of 0.12 ohm would lift the ground by 0.36 V and leave V+ at 11.7 V.
    expect(suspects[0]).toMatchObject({ resistor: 2, alike: [] });
    expect(suspects[0]!.extraOhms).toBeCloseTo(0.1, 3);
  });

  test('volts above the computed ones are no extra resistance', () => {
    const { suspects } = diagnosed(circuit, [reading(2, 3, a + 0.2), reading(4, 5, b + 0.2)]);
    expect(suspects).toEqual([]);
  });

  test('errors of the meter: the true one still comes first, less surely', () => {
    const random = seededRandom(5);
    const bell = () => 0.01 * Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
    let first = 0;
    for (let i = 0; i < 50; i++) {
      const readings = [reading(2, 3, a - 0.06 + bell()), reading(4, 5, b - 0.06 + bell())];
      const { suspects, overRunnerUp } = diagnosed(circuit, readings);
      if ([0, 2].includes(suspects[0]?.resistor ?? -1)) first++;
      expect(overRunnerUp).toBeLessThan(60);
    }
    // Six sigma at one of two readings separates them: hardly ever wrong.
    expect(first).toBeGreaterThanOrEqual(49);
  });

  test('dead nodes and nodes that are not there are passed over', () => {
    const open = circuitOf({
      nodeCount: 4,
      sources: [ideal(0, 1, 12)],
      loads: [
        { positive: 0, negative: 1, model: resistive(10), scale: 1 },
        { positive: 2, negative: 3, model: resistive(10), scale: 1 },
      ],
    });
    const { residuals, suspects } = diagnosed(open, [reading(2, 3, 5), reading(0, 77, 5), reading(0, 1, 12)]);
    expect([...residuals].map(Number.isNaN)).toEqual([true, true, false]);
    expect(suspects).toEqual([]);
  });
});
