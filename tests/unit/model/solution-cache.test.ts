import { expect, test } from 'vitest';
import type { Circuit } from '#server/electrics/circuit.ts';
import { SolutionCache } from '#server/model/solution-cache.ts';
import type { IslandCircuit } from '#server/model/to-circuit.ts';

/** A supply of 12 V behind some ohms with nothing on it: every ohm is another circuit. */
function circuit(ohms: number): IslandCircuit {
  const source = { positive: 0, negative: 1, volts: 12, ohms, maxAmps: 10 };
  const simple: Circuit = { nodeCount: 2, resistors: [], sources: [source], loads: [], stretches: [] };
  return { circuit: simple } as unknown as IslandCircuit;
}

test('what was seen last is known, what was seen long ago is solved again', () => {
  const cache = new SolutionCache(3);
  for (const ohms of [1, 2, 3]) cache.solve(circuit(ohms));
  cache.solve(circuit(1));
  expect(cache.solved).toBe(3);
  // The fourth drives out the second: the first was asked for after it.
  cache.solve(circuit(4));
  cache.solve(circuit(1));
  expect(cache.solved).toBe(4);
  cache.solve(circuit(2));
  expect(cache.solved).toBe(5);
});

test('large circuits are fewer: an editor that is open for a day does not grow', () => {
  const one = new SolutionCache(5000, 1);
  one.solve(circuit(1));
  one.solve(circuit(1));
  expect(one.solved).toBe(1);
  one.solve(circuit(2));
  one.solve(circuit(1));
  expect(one.solved).toBe(3);
  const cache = new SolutionCache(5000, 2000);
  for (let ohms = 1; ohms <= 1000; ohms++) cache.solve(circuit(ohms));
  for (let ohms = 1; ohms <= 1000; ohms++) cache.solve(circuit(ohms));
  // All thousand together weigh more than is kept, and they come round in turn: none is known when it comes again.
  expect(cache.solved).toBe(2000);
  cache.solve(circuit(1000));
  expect(cache.solved).toBe(2000);
});
