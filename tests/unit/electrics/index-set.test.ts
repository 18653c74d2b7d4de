import { expect, test } from 'vitest';
import { IndexSet } from '#server/electrics/solve/index-set.ts';
import { factorLdl, solveLdl } from '#server/electrics/solve/ldl.ts';
import { newLdlFactor } from '#server/electrics/solve/ldl-block.ts';
import { randomCase } from '../../support/ldl-cases.ts';
import { seededRandom } from '../../support/random-circuit.ts';

const members = (set: IndexSet) => [...set.items.subarray(0, set.size)];

function setOf(n: number, ...items: number[]): IndexSet {
  const set = new IndexSet(n);
  for (const item of items) set.add(item);
  return set;
}

test('a set holds each number once, in the order in which they came', () => {
  const set = setOf(10, 7, 3, 7, 0, 3);
  expect(members(set)).toEqual([7, 3, 0]);
  expect([0, 1, 3, 7, 9].map((i) => set.has(i))).toEqual([true, false, true, true, false]);
});

test.each([
  [100, [70, 3, 99, 0]],
  [8, [7, 3, 0, 5]],
  [4, [3, 2, 1, 0]],
])('of %i numbers some are put in order, and taken out again', (n, items) => {
  const set = setOf(n, ...items);
  set.sort();
  expect(members(set)).toEqual([...items].sort((a, b) => a - b));
  set.clear();
  expect(set.size).toBe(0);
  for (let i = 0; i < n; i++) expect(set.has(i)).toBe(false);
});

test('it is large when more than a quarter is in', () => {
  expect(setOf(8, 1, 2).isLarge()).toBe(false);
  expect(setOf(8, 1, 2, 3).isLarge()).toBe(true);
});

test('all numbers', () => {
  const set = new IndexSet(3);
  set.addAll();
  expect(members(set)).toEqual([0, 1, 2]);
  expect(set.has(2)).toBe(true);
});

test('rows that change together are factored again with what hangs on them, in whichever order they come', () => {
  for (let seed = 1; seed <= 60; seed++) {
    const { n, branches, structure } = randomCase(seed);
    const random = seededRandom(seed);
    const siemens = Float64Array.from(branches, () => 0.2 + random());
    const every = new IndexSet(n);
    every.addAll();
    const kept = newLdlFactor(structure);
    factorLdl(kept, siemens, every);
    const dirty = new IndexSet(n);
    for (let k = 0; k < 3; k++) {
      const changed = Math.floor(random() * branches.length);
      siemens[changed] = 0.2 + random();
      for (const row of branches[changed]!) if (row < n) dirty.add(row);
    }
    expect(factorLdl(kept, siemens, dirty)).toBe(true);
    const fresh = newLdlFactor(structure);
    factorLdl(fresh, siemens, every);
    for (let row = 0; row < n; row++) expect(kept.pivots[row]! / fresh.pivots[row]!, `seed ${seed}`).toBeCloseTo(1, 12);
    // An ampere into two rows at once: both ways down the tree are walked, and each row moves as in the fresh factor.
    const into = new IndexSet(n);
    const [x, y] = [new Float64Array(n), new Float64Array(n)];
    for (const row of [n - 1, 0, n >> 1]) {
      x[row] = y[row] = 1;
      into.add(row);
    }
    solveLdl(kept, x, into, new IndexSet(n), 0, Infinity);
    solveLdl(fresh, y, every, new IndexSet(n), 0, Infinity);
    for (let row = 0; row < n; row++) expect(x[row]).toBeCloseTo(y[row]!, 9);
  }
});

test('a pivot that is negative is told, wherever it stands', () => {
  for (let seed = 1; seed <= 10; seed++) {
    const { n, branches, structure } = randomCase(seed);
    const factor = newLdlFactor(structure);
    const siemens = new Float64Array(branches.length).fill(1);
    const every = new IndexSet(n);
    every.addAll();
    expect(factorLdl(factor, siemens, every)).toBe(true);
    // Every diagonal has its branches' sum: with one large negative branch it is below zero.
    siemens[0] = -100;
    const rows = new IndexSet(n);
    for (const row of branches[0]!) if (row < n) rows.add(row);
    expect(factorLdl(factor, siemens, rows)).toBe(false);
  }
});
