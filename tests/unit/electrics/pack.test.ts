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
      if (solution.status === 'solved') expect(unpacked(packed(solution), circuit)).toEqual(solution);
    }
    // So that the loop above has looked at some.
    expect(solve(randomCircuit(1, { kinds: [kind] }).circuit).status).toBe('solved');
  },
);
