/** The order of elimination: every unknown once, the two sides of a pixel together, and little fill on ladders. */
import { expect, test } from 'vitest';
import { eliminationOrder } from '#server/electrics/solve/elimination-order.ts';
import { seededRandom } from '../../support/random-circuit.ts';

/** Entries of L below its diagonal, by eliminating one unknown after another on plain sets. */
function fill(n: number, ends: Int32Array, rows: Int32Array): number {
  const neighbours = Array.from({ length: n }, () => new Set<number>());
  for (let e = 0; e < ends.length; e += 2) {
    const [a, b] = [ends[e]!, ends[e + 1]!];
    if (a < 0 || b < 0 || a === b) continue;
    neighbours[rows[a]!]!.add(rows[b]!);
    neighbours[rows[b]!]!.add(rows[a]!);
  }
  let count = 0;
  for (let k = 0; k < n; k++) {
    const below = [...neighbours[k]!].filter((i) => i > k);
    count += below.length;
    for (const i of below) for (const j of below) if (i !== j) neighbours[i]!.add(j);
  }
  return count;
}

test('random graphs and pairs: every unknown has a row of its own, and pairs follow one another', () => {
  const random = seededRandom(5);
  for (let round = 0; round < 200; round++) {
    const n = Math.floor(40 * random());
    const pick = () => Math.floor((n + 1) * random()) - 1;
    const ends = Int32Array.from({ length: 2 * Math.floor(80 * random()) }, pick);
    const mates = Int32Array.from({ length: 2 * Math.floor(20 * random()) }, pick);
    const rows = eliminationOrder(n, ends, mates);
    expect([...rows].sort((a, b) => a - b)).toEqual(Array.from({ length: n }, (_, i) => i));
    const isTaken = new Set<number>();
    for (let i = 0; i < mates.length; i += 2) {
      const [a, b] = [mates[i]!, mates[i + 1]!];
      if (a < 0 || b < 0 || a === b || isTaken.has(a) || isTaken.has(b)) continue;
      isTaken.add(a).add(b);
      expect(Math.abs(rows[a]! - rows[b]!)).toBe(1);
    }
  }
});

test('a ladder of joints, each pair joined to the next and to the supply, fills nothing but its rungs', () => {
  // Joint i has the unknowns 2 i and 2 i + 1, the supply the last two.
  const joints = 50;
  const supply = 2 * joints;
  const branches: number[] = [];
  const mates: number[] = [supply, supply + 1];
  for (let i = 0; i < joints; i++) {
    const [p, q] = [2 * i, 2 * i + 1];
    branches.push(p, q, p, supply, q, supply + 1);
    if (i > 0) branches.push(p, p - 2, q, q - 2, p, q - 2, q, p - 2);
    mates.push(p, q);
  }
  const rows = eliminationOrder(supply + 2, Int32Array.from(branches), Int32Array.from(mates));
  // By hand: in the order of the ladder p of each joint has q, the next joint's two and the supply's two below it (5) and
  // q one less (4), so each has 9, and the ends less. Were a joint eliminated between two others, it would have 2 more each.
  const entries = fill(supply + 2, Int32Array.from(branches), rows);
  expect(entries).toBeLessThanOrEqual(joints * 9);
  expect(entries).toBeGreaterThanOrEqual((joints - 1) * 9);
});
