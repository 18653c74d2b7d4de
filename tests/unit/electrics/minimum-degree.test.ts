import { describe, expect, test } from 'vitest';
import { minimumDegreeOrder } from '#server/electrics/solve/minimum-degree.ts';
import { seededRandom } from '../../support/random-circuit.ts';

type Edges = readonly (readonly [number, number])[];

function adjacency(n: number, edges: Edges) {
  const sets = Array.from({ length: n }, () => new Set<number>());
  for (const [a, b] of edges) {
    if (a === b) continue;
    sets[a]!.add(b);
    sets[b]!.add(a);
  }
  const starts = new Int32Array(n + 1);
  sets.forEach((set, i) => {
    starts[i + 1] = starts[i]! + set.size;
  });
  return { sets, starts, neighbours: Int32Array.from(sets.flatMap((set) => [...set])) };
}

/** Numbers below the diagonal after elimination in this order, by the definition: neighbours become a clique. */
function fill(sets: readonly Set<number>[], order: Int32Array): number {
  const graph = sets.map((set) => new Set(set));
  let count = 0;
  for (const i of order) {
    const around = [...graph[i]!];
    count += around.length;
    for (const a of around) {
      graph[a]!.delete(i);
      for (const b of around) if (a !== b) graph[a]!.add(b);
    }
  }
  return count;
}

/** The exact minimum degree order, the slow way. */
function slowOrder(sets: readonly Set<number>[]): Int32Array {
  const graph = sets.map((set) => new Set(set));
  const left = new Set(sets.keys());
  const order: number[] = [];
  while (left.size > 0) {
    let best = -1;
    for (const i of left) if (best < 0 || graph[i]!.size < graph[best]!.size) best = i;
    left.delete(best);
    order.push(best);
    const around = [...graph[best]!];
    for (const a of around) {
      graph[a]!.delete(best);
      for (const b of around) if (a !== b) graph[a]!.add(b);
    }
  }
  return Int32Array.from(order);
}

function check(n: number, edges: Edges) {
  const { sets, starts, neighbours } = adjacency(n, edges);
  const order = minimumDegreeOrder(n, starts, neighbours);
  expect([...order].sort((a, b) => a - b)).toEqual(Array.from({ length: n }, (_, i) => i));
  return { sets, order };
}

const grid = (w: number, h: number): Edges =>
  Array.from({ length: w * h }, (_, i) => i).flatMap((i) => {
    const right = i % w < w - 1 ? [[i, i + 1] as const] : [];
    const down = i + w < w * h ? [[i, i + w] as const] : [];
    return [...right, ...down];
  });

describe('trees have an order without fill, and it is found', () => {
  test.each([1, 2, 3])('random tree %i', (seed) => {
    const random = seededRandom(seed);
    const n = 400;
    const edges: Edges = Array.from({ length: n - 1 }, (_, i) => [i + 1, Math.floor(random() * (i + 1))] as const);
    const { sets, order } = check(n, edges);
    expect(fill(sets, order)).toBe(n - 1);
  });

  test('a star with more arms than the limit for dense vertices', () => {
    const n = 3000;
    const { sets, order } = check(
      n,
      Array.from({ length: n - 1 }, (_, i) => [0, i + 1] as const),
    );
    expect(fill(sets, order)).toBe(n - 1);
  });
});

describe('fill close to that of the exact minimum degree', () => {
  test.each([
    [5, 5],
    [13, 9],
    [20, 20],
  ])('grid of %i by %i', (w, h) => {
    const { sets, order } = check(w * h, grid(w, h));
    expect(fill(sets, order)).toBeLessThanOrEqual(1.35 * fill(sets, slowOrder(sets)));
  });

  test('random graphs', () => {
    const random = seededRandom(3);
    for (let i = 0; i < 60; i++) {
      const n = 1 + Math.floor(120 * random());
      const edges: Edges = Array.from({ length: Math.floor(2.5 * n * random()) }, () => [
        Math.floor(n * random()),
        Math.floor(n * random()),
      ]);
      const { sets, order } = check(n, edges);
      expect(fill(sets, order)).toBeLessThanOrEqual(1.3 * fill(sets, slowOrder(sets)) + 10);
    }
  });
});

test('nothing, one vertex, and vertices without edges', () => {
  check(0, []);
  check(1, []);
  check(7, [[2, 5]]);
});
