/** The sparse factor of conductance matrices, against dense elimination. */
import { describe, expect, test } from 'vitest';
import { IndexSet } from '#server/electrics/solve/index-set.ts';
import { factorLdl, solveLdl } from '#server/electrics/solve/ldl.ts';
import { newLdlFactor } from '#server/electrics/solve/ldl-block.ts';
import { analyseLdl, gatherSubtrees } from '#server/electrics/solve/ldl-structure.ts';
import { type Branch, branchLists } from '../../support/ldl-cases.ts';
import { seededRandom } from '../../support/random-circuit.ts';

/** Rows renumbered so that subtrees of the elimination tree stand together, as the factor expects. */
function prepared(n: number, branches: readonly Branch[]) {
  const { starts, others } = branchLists(n, branches);
  const place = gatherSubtrees(n, starts, others);
  const moved = branches.map(([a, b]): Branch => [a < n ? place[a]! : n, b < n ? place[b]! : n]);
  const lists = branchLists(n, moved);
  return { branches: moved, factor: newLdlFactor(analyseLdl(n, lists.starts, lists.branches, lists.others)) };
}

function denseSolve(n: number, branches: readonly Branch[], siemens: Float64Array, right: Float64Array): number[] {
  const rows = Array.from({ length: n }, (_, i) => [...new Array<number>(n).fill(0), right[i]!]);
  branches.forEach(([a, b], e) => {
    const g = siemens[e]!;
    if (a < n) rows[a]![a]! += g;
    if (b < n) rows[b]![b]! += g;
    if (a < n && b < n) {
      rows[a]![b]! -= g;
      rows[b]![a]! -= g;
    }
  });
  for (let k = 0; k < n; k++) {
    for (let i = k + 1; i < n; i++) {
      const share = rows[i]![k]! / rows[k]![k]!;
      for (let j = k; j <= n; j++) rows[i]![j]! -= share * rows[k]![j]!;
    }
  }
  const x = new Array<number>(n).fill(0);
  for (let i = n - 1; i >= 0; i--) {
    let sum = rows[i]![n]!;
    for (let j = i + 1; j < n; j++) sum -= rows[i]![j]! * x[j]!;
    x[i] = sum / rows[i]![i]!;
  }
  return x;
}

function all(n: number): IndexSet {
  const set = new IndexSet(n);
  set.addAll();
  return set;
}

/** A connected network of n rows: a random tree rooted at the reference, and some branches more. */
function randomNetwork(random: () => number) {
  const n = 1 + Math.floor(60 * random());
  const tree = Array.from({ length: n }, (_, i): Branch => [i, i === 0 ? n : Math.floor(random() * i)]);
  const more = Array.from({ length: Math.floor(2 * n * random()) }, (): Branch => {
    const a = Math.floor(random() * n);
    const b = Math.floor(random() * (n + 1));
    return a === b ? [a, n] : [a, b];
  });
  const branches = [...tree, ...more];
  const siemens = Float64Array.from(branches, () => 10 ** (4 * random() - 2));
  return { n, branches, siemens };
}

describe('random networks', () => {
  test('factor and solve', () => {
    const random = seededRandom(21);
    for (let i = 0; i < 200; i++) {
      const network = randomNetwork(random);
      const { n, siemens } = network;
      const { factor, branches } = prepared(n, network.branches);
      expect(factorLdl(factor, siemens, all(n))).toBe(true);
      const right = Float64Array.from({ length: n }, () => random() - 0.5);
      const expected = denseSolve(n, branches, siemens, right);
      const x = right.slice();
      solveLdl(factor, x, all(n), new IndexSet(n), 0, Infinity);
      const scale = Math.max(...expected.map(Math.abs));
      expected.forEach((value, k) => expect(Math.abs(x[k]! - value)).toBeLessThan(1e-10 * scale));
    }
  });

  test('one changed branch, and a right side with two numbers: only what depends on them is worked on', () => {
    const random = seededRandom(22);
    for (let i = 0; i < 200; i++) {
      const network = randomNetwork(random);
      const { n, siemens } = network;
      const { factor, branches } = prepared(n, network.branches);
      factorLdl(factor, siemens, all(n));
      const e = Math.floor(random() * branches.length);
      siemens[e] = 10 ** (4 * random() - 2);
      const dirty = new IndexSet(n);
      for (const row of branches[e]!) if (row < n) dirty.add(row);
      expect(factorLdl(factor, siemens, dirty)).toBe(true);

      const right = new Float64Array(n);
      const rows = new IndexSet(n);
      for (let k = 0; k < 2; k++) {
        const row = Math.floor(random() * n);
        right[row] = random() - 0.5;
        rows.add(row);
      }
      const expected = denseSolve(n, branches, siemens, right);
      const x = right.slice();
      const moved = new IndexSet(n);
      solveLdl(factor, x, rows, moved, 0, Infinity);
      const scale = Math.max(...expected.map(Math.abs));
      expected.forEach((value, k) => {
        expect(Math.abs(x[k]! - value)).toBeLessThan(1e-10 * scale);
        if (x[k] !== 0) expect(moved.has(k)).toBe(true);
      });
    }
  });
});

test('a part that hangs on nothing takes a bounded step, and the rest its full one', () => {
  // Rows 0 and 1 hang on the reference; 2 and 3 only on each other.
  const { factor, branches } = prepared(4, [
    [0, 4],
    [0, 1],
    [2, 3],
  ]);
  expect(factorLdl(factor, Float64Array.of(1, 1, 1), all(4))).toBe(true);
  const rowsOf = (branch: number) => branches[branch]!;
  const x = new Float64Array(4);
  const [loose, other] = rowsOf(2) as [number, number];
  x[loose] = 1;
  const [fixed] = rowsOf(0) as [number, number];
  x[fixed] = 1;
  solveLdl(factor, x, all(4), new IndexSet(4), 0, 6);
  // 1 A into row 0, which has 1 S to the reference; row 1 follows. 1 A into the loose part: 6 V at the most, and 1 V
  // between its two rows.
  expect(x[fixed]).toBeCloseTo(1, 12);
  expect(Math.min(Math.abs(x[loose]!), Math.abs(x[other]!))).toBeLessThanOrEqual(6 + 1e-9);
  expect(Math.abs(x[loose]! - x[other]!)).toBeLessThanOrEqual(1 + 1e-9);
});

test('a negative conductance that outweighs the rest is reported', () => {
  const { factor } = prepared(2, [
    [0, 2],
    [0, 1],
    [1, 2],
  ]);
  expect(factorLdl(factor, Float64Array.of(1, 1, -3), all(2))).toBe(false);
});
