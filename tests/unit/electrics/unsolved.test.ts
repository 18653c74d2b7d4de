/** Knees so narrow that they are all but jumps, under heavy loads: solved by Kirchhoff's laws, or a place is named. */
import { expect, test } from 'vitest';
import type { Circuit } from '#server/electrics/circuit.ts';
import { prepare } from '#server/electrics/prepare.ts';
import { kneeAmps } from '../../support/circuits.ts';
import { kirchhoffFaults } from '../../support/kirchhoff.ts';
import { randomCircuit, seededRandom } from '../../support/random-circuit.ts';

/** Loads of up to 50 A a pixel with knees a microvolt wide, right below the supply's volts. */
function harsh(seed: number): Circuit {
  const random = seededRandom(seed);
  const { circuit, nominalVolts } = randomCircuit(seed, { mostPixels: 60 });
  const model = () => kneeAmps(2 + 50 * random(), nominalVolts * 0.99 - 1e-6, nominalVolts * 0.99);
  return {
    ...circuit,
    loads: circuit.loads.map((load) => ({ ...load, model: model() })),
    stretches: circuit.stretches.map((stretch) => ({ ...stretch, model: model() })),
  };
}

test('what has no solution that can be found names a joint and what is left over there', () => {
  let unsolved = 0;
  let atStretches = 0;
  for (let seed = 24; seed < 48; seed += 2) {
    const circuit = harsh(seed);
    const prepared = prepare(circuit);
    const outcome = prepared.solve();
    if (outcome.status === 'solved') {
      // A pixel on such a jump has any current between nothing and all: its volts are good to the width of the jump.
      expect(kirchhoffFaults(circuit, outcome, 1e-3).filter((fault) => fault.startsWith('node'))).toEqual([]);
      continue;
    }
    unsolved++;
    expect(outcome.iterations).toBe(100);
    expect(outcome.node >= 0 && outcome.node < circuit.nodeCount).toBe(true);
    expect(outcome.residualAmps).toBeGreaterThan(0);
    expect(outcome.residualAmps).toBeLessThan(1e5);
    const ends = circuit.stretches.flatMap((s) => [s.positiveStart, s.negativeStart, s.positiveEnd, s.negativeEnd]);
    if (ends.includes(outcome.node)) atStretches++;
    // Asked again it says the same, and a cut of it is at least tried.
    expect(prepared.solve()).toEqual(outcome);
    expect(['solved', 'diverged']).toContain(prepared.solveWithout({ resistors: [0] }).status);
  }
  expect(unsolved).toBeGreaterThan(0);
  expect(atStretches).toBeGreaterThan(0);
});
