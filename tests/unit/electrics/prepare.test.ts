/** One network solved again with other numbers, or with elements cut, against solving each from scratch. */
import { describe, expect, test } from 'vitest';
import type { Circuit, Cut } from '#server/electrics/circuit.ts';
import { prepare } from '#server/electrics/prepare.ts';
import type { Solution, Unsolved } from '#server/electrics/solution.ts';
import { expandStretch, solve } from '#server/electrics/solve.ts';
import { circuitOf, converter, ideal, kneeAmps, resistive } from '../../support/circuits.ts';
import { type PixelKind, randomCircuit, seededRandom } from '../../support/random-circuit.ts';

/** Converters may rest in another of their states when they come from another side; they have a test of their own. */
const kinds: readonly PixelKind[] = ['regulated', 'knees', 'resistive'];

function expectSame(
  actual: Solution | Unsolved,
  expected: Solution | Unsolved,
  circuit: Circuit,
  tolerance: number,
): void {
  if (actual.status !== 'solved' || expected.status !== 'solved')
    throw new Error(`${actual.status}, ${expected.status}`);
  expect([...actual.dead]).toEqual([...expected.dead]);
  const near = (a: number, b: number, what: string) => {
    if (Number.isNaN(b)) expect(a, what).toBeNaN();
    else
      expect(Math.abs(a - b), `${what}: ${a} against ${b}`).toBeLessThanOrEqual(tolerance * Math.max(1, Math.abs(b)));
  };
  const u = (s: Solution, p: number, n: number) => s.nodeVolts[p]! - s.nodeVolts[n]!;
  circuit.stretches.forEach(({ positiveStart: p, negativeStart: n, positiveEnd, negativeEnd }, i) => {
    near(u(actual, p, n), u(expected, p, n), `start of ${i}`);
    near(u(actual, positiveEnd, negativeEnd), u(expected, positiveEnd, negativeEnd), `end of ${i}`);
    near(actual.stretches[i]!.leastVolts, expected.stretches[i]!.leastVolts, `least of ${i}`);
    near(actual.stretches[i]!.amps, expected.stretches[i]!.amps, `amps of ${i}`);
  });
  expected.loadVolts.forEach((volts, i) => near(actual.loadVolts[i]!, volts, `load ${i}`));
  // Currents of milliohm branches are a thousand times more touchy than volts.
  expected.resistorAmps.forEach((amps, i) => near(actual.resistorAmps[i]! / 1000, amps / 1000, `resistor ${i}`));
  expected.sourceAmps.forEach((amps, i) => near(actual.sourceAmps[i]! / 1000, amps / 1000, `source ${i}`));
}

function without(circuit: Circuit, cut: Cut): Circuit {
  return {
    ...circuit,
    resistors: circuit.resistors.map((r, i) => (cut.resistors?.includes(i) ? { ...r, ohms: Infinity } : r)),
    sources: circuit.sources.map((s, i) => (cut.sources?.includes(i) ? { ...s, volts: 0 } : s)),
  };
}

test('other numbers: corners and looks', () => {
  let compared = 0;
  for (let seed = 1; seed <= 80; seed++) {
    const { circuit } = randomCircuit(seed, { kinds });
    const random = seededRandom(seed);
    const prepared = prepare(circuit);
    expectSame(prepared.solve(), solve(circuit), circuit, 1e-9);
    for (let corner = 0; corner < 4; corner++) {
      const [copper, supply, look] = [0.8 + 0.4 * random(), 0.95 + 0.1 * random(), random()];
      const other: Circuit = {
        ...circuit,
        resistors: circuit.resistors.map((r) => ({ ...r, ohms: r.ohms * copper })),
        sources: circuit.sources.map((s) => ({ ...s, volts: s.volts * supply })),
        loads: circuit.loads.map((l) => ({ ...l, scale: l.scale * look })),
        stretches: circuit.stretches.map((s) => ({
          ...s,
          positiveOhms: s.positiveOhms * copper,
          negativeOhms: s.negativeOhms * copper,
          scale: s.scale * look,
        })),
      };
      expectSame(prepared.solveWith(other), solve(other), other, 1e-8);
      compared++;
    }
  }
  expect(compared).toBe(320);
});

test('another circuit altogether', () => {
  const prepared = prepare(randomCircuit(1, { kinds }).circuit);
  for (let seed = 2; seed < 12; seed++) {
    const { circuit } = randomCircuit(seed, { kinds });
    expectSame(prepared.solveWith(circuit), solve(circuit), circuit, 1e-9);
  }
});

describe('cuts', () => {
  test('every resistor and every source, one at a time', { timeout: 120_000 }, () => {
    let compared = 0;
    for (let seed = 1; seed <= 40; seed++) {
      const { circuit } = randomCircuit(seed, { kinds });
      const prepared = prepare(circuit);
      const cuts: Cut[] = [
        ...circuit.resistors.map((_, i) => ({ resistors: [i] })),
        ...circuit.sources.map((_, i) => ({ sources: [i] })),
      ];
      for (const cut of cuts) {
        try {
          expectSame(prepared.solveWithout(cut), solve(without(circuit, cut)), circuit, 1e-7);
        } catch (error) {
          throw new Error(`seed ${seed}, ${JSON.stringify(cut)}: ${error instanceof Error ? error.message : error}`);
        }
        compared++;
      }
      // Nothing of the cuts stays behind.
      expectSame(prepared.solve(), solve(circuit), circuit, 1e-9);
    }
    expect(compared).toBeGreaterThan(600);
  });

  test('several at a time', () => {
    for (let seed = 100; seed < 140; seed++) {
      const { circuit } = randomCircuit(seed, { kinds });
      const random = seededRandom(seed);
      const some = (length: number, share: number) => [...Array(length).keys()].filter(() => random() < share);
      const prepared = prepare(circuit);
      for (let trial = 0; trial < 5; trial++) {
        const cut = { resistors: some(circuit.resistors.length, 0.2), sources: some(circuit.sources.length, 0.2) };
        try {
          expectSame(prepared.solveWithout(cut), solve(without(circuit, cut)), circuit, 1e-7);
        } catch (error) {
          throw new Error(`seed ${seed}, ${JSON.stringify(cut)}: ${error instanceof Error ? error.message : error}`);
        }
      }
    }
  });

  test('to a given precision', () => {
    for (let seed = 200; seed < 220; seed++) {
      const { circuit } = randomCircuit(seed, { kinds });
      const prepared = prepare(circuit);
      circuit.resistors.forEach((_, i) => {
        const actual = prepared.solveWithout({ resistors: [i] }, 1e-5);
        const expected = solve(without(circuit, { resistors: [i] }));
        if (actual.status !== 'solved' || expected.status !== 'solved') throw new Error('unsolved');
        expected.stretches.forEach(({ leastVolts }, s) => {
          expect(Math.abs(actual.stretches[s]!.leastVolts - leastVolts)).toBeLessThan(1e-4);
        });
      });
    }
  });

  const string = (model = kneeAmps(0.05, 9.6, 10.2)) =>
    circuitOf({
      nodeCount: 6,
      sources: [ideal(0, 1, 12)],
      resistors: [
        { a: 0, b: 2, ohms: 0.02 },
        { a: 1, b: 3, ohms: 0.02 },
        { a: 0, b: 4, ohms: 0.05 },
        { a: 1, b: 5, ohms: 0.05 },
      ],
      stretches: [
        {
          positiveStart: 2,
          negativeStart: 3,
          positiveEnd: 4,
          negativeEnd: 5,
          count: 60,
          positiveOhms: 0.005,
          negativeOhms: 0.005,
          model,
          scale: 1,
        },
      ],
    });

  test('to a poor precision, the pixels still add up to what the stretch is said to draw', () => {
    const circuit = string(kneeAmps(0.05, 9.6, 11.4));
    const prepared = prepare(circuit);
    for (const precision of [0, 1e-3, 1, 20]) {
      const solution = prepared.solveWithout({ resistors: [2] }, precision);
      if (solution.status !== 'solved') throw new Error(solution.status);
      const pixels = expandStretch(circuit, solution, 0);
      expect(solution.stretches[0]!.amps).toBeCloseTo(
        pixels.amps.reduce((sum, amps) => sum + amps, 0),
        6,
      );
      expect(solution.stretches[0]!.leastVolts).toBeCloseTo(Math.min(...pixels.volts), 6);
    }
  });

  test('a fuse of two: the other carries the load', () => {
    const solution = prepare(string(resistive(1e5))).solveWithout({ resistors: [2] });
    if (solution.status !== 'solved') throw new Error(solution.status);
    expect(solution.resistorAmps[2]).toBe(0);
    expect(solution.resistorAmps[0]).toBeCloseTo(solution.sourceAmps[0]!, 8);
  });

  test('both fuses: dark at 0 V, not at the foot of the knee', () => {
    const solution = prepare(string()).solveWithout({ resistors: [0, 2] });
    if (solution.status !== 'solved') throw new Error(solution.status);
    expect(solution.stretches[0]).toMatchObject({ amps: 0 });
    expect(solution.stretches[0]!.leastVolts).toBeCloseTo(0, 9);
    expect([...solution.dead]).toEqual([0, 0, 0, 0, 0, 0]);
  });

  test('the only supply: everything is dead', () => {
    const solution = prepare(string()).solveWithout({ sources: [0] });
    if (solution.status !== 'solved') throw new Error(solution.status);
    expect([...solution.dead]).toEqual([1, 1, 1, 1, 1, 1]);
    expect(solution.stretches[0]).toMatchObject({ leastVolts: 0, amps: 0 });
    expect([...solution.resistorAmps]).toEqual([0, 0, 0, 0]);
    expect(solution.currentResidual).toBeLessThan(1e-9);
  });

  test('converters: a lost feed makes them draw more, or collapse', () => {
    for (const watts of [0.3, 0.6, 1.2, 3]) {
      const circuit = string(converter(watts, 6));
      const solution = prepare(circuit).solveWithout({ resistors: [2] });
      const scratch = solve(without(circuit, { resistors: [2] }));
      if (solution.status !== 'solved' || scratch.status !== 'solved') throw new Error(`${watts} W`);
      expect(solution.currentResidual).toBeLessThan(1e-7);
      if (watts < 1) expectSame(solution, scratch, circuit, 1e-7);
    }
  });

  test('nothing, and what is not there', () => {
    const circuit = string();
    expectSame(prepare(circuit).solveWithout({}), solve(circuit), circuit, 1e-9);
    expectSame(prepare(circuit).solveWithout({ resistors: [99, -1], sources: [7] }), solve(circuit), circuit, 1e-9);
  });
});
