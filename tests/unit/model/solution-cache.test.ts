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

/** Words that a circuit of these takes in a cache, at most: it is kept with a few numbers beside it. */
const ONE = 60;

test('what was seen lately is known, what was seen long ago is solved again', () => {
  const cache = new SolutionCache(20 * ONE);
  for (let ohms = 1; ohms <= 10; ohms++) cache.solve(circuit(ohms));
  for (let ohms = 1; ohms <= 10; ohms++) cache.solve(circuit(ohms));
  expect(cache.solved).toBe(10);
  // The first is asked for again and again while 100 others go by; the second is not.
  for (let ohms = 11; ohms <= 110; ohms++) {
    cache.solve(circuit(ohms));
    cache.solve(circuit(1));
  }
  expect(cache.solved).toBe(110);
  cache.solve(circuit(2));
  expect(cache.solved).toBe(111);
});

test('large circuits are fewer: an editor that is open for a day does not grow', () => {
  const one = new SolutionCache(1);
  one.solve(circuit(1));
  one.solve(circuit(1));
  expect(one.solved).toBe(1);
  for (const ohms of [2, 3, 1]) one.solve(circuit(ohms));
  expect(one.solved).toBe(4);
  const cache = new SolutionCache(2000);
  for (let ohms = 1; ohms <= 1000; ohms++) cache.solve(circuit(ohms));
  for (let ohms = 1; ohms <= 1000; ohms++) cache.solve(circuit(ohms));
  // All thousand together weigh more than is kept, and they come round in turn: none is known when it comes again.
  expect(cache.solved).toBe(2000);
  cache.solve(circuit(1000));
  expect(cache.solved).toBe(2000);
});
