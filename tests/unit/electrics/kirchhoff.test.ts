/**
 * Kirchhoff's laws at every joint and pixel of random networks, and how many rounds of Newton's method they take. Where
 * currents rise with voltages, what obeys the laws is the one solution, so that no other answer is needed beside it.
 */
import { describe, expect, test } from 'vitest';
import type { Circuit, Cut, LoadModel } from '#server/electrics/circuit.ts';
import { prepare } from '#server/electrics/prepare.ts';
import type { Solution, Unsolved } from '#server/electrics/solution.ts';
import { circuitWithout } from '#server/electrics/solve/cut.ts';
import { solve } from '#server/electrics/solve.ts';
import { constantAmps, ideal, resistive } from '../../support/circuits.ts';
import { kirchhoffFaults } from '../../support/kirchhoff.ts';
import { type PixelKind, randomCircuit, seededRandom } from '../../support/random-circuit.ts';

const kinds: readonly PixelKind[] = ['regulated', 'knees', 'resistive', 'converter', 'mixed', 'chain'];

function expectSound(circuit: Circuit, solution: Solution | Unsolved, seed: number): number {
  if (solution.status !== 'solved') throw new Error(`seed ${seed}: ${JSON.stringify(solution)}`);
  expect(kirchhoffFaults(circuit, solution, 1e-9), `seed ${seed}`).toEqual([]);
  return solution.iterations;
}

describe.each(kinds)('%s pixels', (kind) => {
  test('random networks', () => {
    let rounds = 0;
    for (let seed = 1; seed <= 60; seed++) {
      const { circuit } = randomCircuit(seed, { kinds: [kind], mostPixels: 60 });
      rounds += expectSound(circuit, solve(circuit), seed);
    }
    // Newton's method doubles the right digits in each round once it is close: some seven rounds find a dozen digits.
    expect(rounds / 60).toBeLessThan(7.5);
  });

  test('long stretches', () => {
    let rounds = 0;
    for (let seed = 200; seed < 212; seed++) {
      const { circuit } = randomCircuit(seed, { kinds: [kind], mostPixels: 600, longest: 300 });
      rounds += expectSound(circuit, solve(circuit), seed);
    }
    expect(rounds / 12).toBeLessThan(10);
  });
});

/** The same elements at the same nodes with other numbers. */
function renumbered(circuit: Circuit, random: () => number): Circuit {
  const about = (value: number) => value * (0.8 + 0.4 * random());
  return {
    ...circuit,
    resistors: circuit.resistors.map((r) => ({ ...r, ohms: about(r.ohms) })),
    sources: circuit.sources.map((s) => ({ ...s, volts: about(s.volts), ohms: about(s.ohms) })),
    loads: circuit.loads.map((l) => ({ ...l, scale: about(l.scale) })),
    stretches: circuit.stretches.map((s) => ({
      ...s,
      positiveOhms: about(s.positiveOhms),
      negativeOhms: about(s.negativeOhms),
      scale: random() < 0.2 ? 0 : about(s.scale),
    })),
  };
}

test('one network with ever other numbers', () => {
  for (let seed = 300; seed < 330; seed++) {
    const random = seededRandom(seed);
    const { circuit } = randomCircuit(seed, { kinds: ['regulated', 'knees', 'resistive'] });
    const prepared = prepare(circuit);
    expectSound(circuit, prepared.solve(), seed);
    for (let i = 0; i < 4; i++) {
      const other = renumbered(circuit, random);
      expectSound(other, prepared.solveWith(other), seed);
    }
  }
});

test('networks with one or several elements cut, and whole again afterwards', () => {
  for (let seed = 400; seed < 430; seed++) {
    const random = seededRandom(seed);
    const { circuit } = randomCircuit(seed, { kinds: ['regulated', 'knees', 'resistive'], mayLimit: false });
    const prepared = prepare(circuit);
    const before = prepared.solve();
    for (let i = 0; i < 4; i++) {
      const some = (count: number, most: number) => Array.from({ length: count }, () => Math.floor(random() * most));
      const cut: Cut = {
        resistors: some(1 + (i & 1), circuit.resistors.length),
        sources: i > 1 ? some(1, circuit.sources.length) : [],
      };
      expectSound(circuitWithout(circuit, cut), prepared.solveWithout(cut), seed);
    }
    expect(prepared.solve()).toEqual(before);
  }
});

/** One supply where the random network has several, cables, runs and loads, all of one kind. */
function plain(seed: number, model: LoadModel): Circuit {
  const { circuit } = randomCircuit(seed, { kinds: ['resistive'], mayLimit: false });
  const [first, ...others] = circuit.sources;
  const joined = others.flatMap(({ positive, negative }) => [
    { a: first!.positive, b: positive, ohms: 0.02 },
    { a: first!.negative, b: negative, ohms: 0.02 },
  ]);
  return {
    ...circuit,
    sources: [{ ...ideal(first!.positive, first!.negative, 12), ohms: 0.01 }],
    // Without the bleeders: with them the first guess, that conductors drop nothing, has the supply short-circuited.
    resistors: [...circuit.resistors.filter(({ ohms }) => ohms < 1000), ...joined],
    loads: circuit.loads.map((load) => ({ ...load, model })),
    stretches: circuit.stretches.map((stretch) => ({ ...stretch, count: Math.min(stretch.count, 15), model })),
  };
}

describe('what follows its voltages in a straight line takes one round, and one to see that nothing is left', () => {
  test('constant currents', () => {
    for (let seed = 500; seed < 530; seed++) {
      const circuit = plain(seed, constantAmps(0.002));
      expect(expectSound(circuit, solve(circuit), seed), `seed ${seed}`).toBe(2);
    }
  });

  test('resistors, and once more where pixels were known one by one only in the second', () => {
    for (let seed = 500; seed < 530; seed++) {
      const circuit = plain(seed, resistive(200));
      expect(expectSound(circuit, solve(circuit), seed), `seed ${seed}`).toBeLessThanOrEqual(3);
    }
  });
});
