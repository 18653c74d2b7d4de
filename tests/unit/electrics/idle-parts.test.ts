/** What takes no part changes nothing: elements that cannot be, and islands without a source, which are dark. */
import { expect, test } from 'vitest';
import type { Circuit } from '#server/electrics/circuit.ts';
import { prepare } from '#server/electrics/prepare.ts';
import type { Solution, Unsolved } from '#server/electrics/solution.ts';
import { expandStretch } from '#server/electrics/solve.ts';
import { ahead, withIdleParts } from '../../support/idle-parts.ts';
import { type PixelKind, randomCircuit, seededRandom } from '../../support/random-circuit.ts';

function expectSame(circuit: Circuit, outcome: Solution | Unsolved, expected: Solution | Unsolved, what: string): void {
  if (outcome.status !== 'solved' || expected.status !== 'solved') throw new Error(`${what}: not solved`);
  const near = (own: Float64Array, other: Float64Array, from: number, size: number) => {
    const part = own.subarray(from, from + other.length);
    other.forEach((value, i) => {
      if (Number.isNaN(value)) expect(part[i], what).toBeNaN();
      else expect(Math.abs(part[i]! - value), what).toBeLessThan(1e-8 * size);
    });
    // Of those before and behind, and of nodes, nothing is said but that they are dark.
    [...own.subarray(0, from), ...own.subarray(from + other.length)].forEach((value) => {
      expect(value || 0, what).toBe(0);
    });
  };
  near(outcome.nodeVolts, expected.nodeVolts, 0, 24);
  near(outcome.resistorAmps, expected.resistorAmps, ahead.resistors, 100);
  near(outcome.sourceAmps, expected.sourceAmps, ahead.sources, 100);
  near(outcome.loadAmps, expected.loadAmps, ahead.loads, 10);
  near(outcome.loadVolts, expected.loadVolts, ahead.loads, 24);
  expect([...outcome.dead], what).toEqual([...expected.dead, 1, 1, 1, 1, 1, 1]);
  const dark = {
    leastVolts: 0,
    amps: 0,
    positiveStartAmps: 0,
    positiveEndAmps: 0,
    negativeStartAmps: 0,
    negativeEndAmps: 0,
  };
  outcome.stretches.forEach((summary, id) => {
    const own = expected.stretches[id - ahead.stretches];
    if (own === undefined) expect(summary, what).toMatchObject(dark);
    else {
      expect(Math.abs(summary.leastVolts - own.leastVolts), what).toBeLessThan(1e-7);
      expect(Math.abs(summary.amps - own.amps), what).toBeLessThan(1e-7);
    }
  });
  expect(expandStretch(circuit, outcome, 0).amps.every((amps) => amps === 0)).toBe(true);
  expect(outcome.iterations).toBe(expected.iterations);
  expect(outcome.currentResidual).toBeLessThan(1e-6);
  expect(outcome.powerResidual).toBeLessThan(1e-6);
}

const kinds: readonly PixelKind[] = ['regulated', 'knees', 'resistive', 'mixed'];

test.each(kinds)(
  '%s pixels: the solution is that without them, whole, with other numbers and with something cut',
  (kind) => {
    for (let seed = 600; seed < 615; seed++) {
      const random = seededRandom(seed);
      const { circuit } = randomCircuit(seed, { kinds: [kind], mostPixels: 60, mayLimit: false });
      const more = withIdleParts(circuit);
      const [own, other] = [prepare(more), prepare(circuit)];
      expectSame(more, own.solve(), other.solve(), `seed ${seed}`);
      for (let i = 0; i < 3; i++) {
        const resistors = [Math.floor(random() * circuit.resistors.length), i].slice(0, 1 + (i & 1));
        const sources = i === 2 ? [0] : [];
        const outcome = own.solveWithout({
          resistors: [0, 1, ...resistors.map((id) => id + ahead.resistors)],
          sources: [0, ...sources.map((id) => id + ahead.sources)],
        });
        const expected = other.solveWithout({ resistors, sources });
        if (outcome.status === 'solved' && expected.status === 'solved')
          expectSame(more, { ...outcome, iterations: expected.iterations }, expected, `seed ${seed}, cut ${i}`);
      }
      const changed = {
        ...circuit,
        sources: circuit.sources.map((source) => ({ ...source, volts: 0.9 * source.volts })),
      };
      expectSame(more, own.solveWith(withIdleParts(changed)), other.solveWith(changed), `seed ${seed}, lower`);
    }
  },
);
