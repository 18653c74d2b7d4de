import { expect, test } from 'vitest';
import { packed, unpacked } from '#server/electrics/pack.ts';
import { solve } from '#server/electrics/solve.ts';
import { type PixelKind, randomCircuit } from '../../support/random-circuit.ts';

test.each<PixelKind>(['regulated', 'knees', 'resistive', 'converter', 'mixed', 'chain'])(
  'a solution that was packed is the same again, %s pixels',
  (kind) => {
    for (let seed = 1; seed <= 20; seed++) {
      const { circuit } = randomCircuit(seed, { kinds: [kind] });
      const solution = solve(circuit);
      if (solution.status !== 'solved') continue;
      const again = unpacked(packed(solution), circuit);
      expect(again).toEqual(solution);
      // Of one shape with it: what reads both would be compiled for neither.
      expect(Object.keys(again)).toEqual(Object.keys(solution));
      for (const [at, stretch] of solution.stretches.entries())
        expect(Object.keys(again.stretches[at] ?? {})).toEqual(Object.keys(stretch));
    }
    // So that the loop above has looked at some.
    expect(solve(randomCircuit(1, { kinds: [kind] }).circuit).status).toBe('solved');
  },
);
