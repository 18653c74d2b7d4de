/** The sparse factor itself: it solves what it was made from, works on no more than it must, and ties down what is loose. */
import { describe, expect, test } from 'vitest';
import { IndexSet } from '#server/electrics/solve/index-set.ts';
import { factorLdl, solveLdl } from '#server/electrics/solve/ldl.ts';
import { newLdlFactor } from '#server/electrics/solve/ldl-block.ts';
import { type Branch, type Case, caseOf, randomCase } from '../../support/ldl-cases.ts';
import { seededRandom } from '../../support/random-circuit.ts';

const cases = Array.from({ length: 36 }, (_, i) => i + 1);

describe('the factor', () => {
  const all = (n: number) => {
    const set = new IndexSet(n);
    set.addAll();
    return set;
  };

  /** The largest excess of A x over b at any row, b being 1 or -1 at each. */
  function worst({ n, branches }: Case, siemens: Float64Array, x: Float64Array, right: Float64Array): number {
    const excess = right.map((b) => -b);
    branches.forEach(([a, b], e) => {
      const amps = siemens[e]! * ((a < n ? x[a]! : 0) - (b < n ? x[b]! : 0));
      if (a < n) excess[a]! += amps;
      if (b < n) excess[b]! -= amps;
    });
    return Math.max(...excess.map(Math.abs));
  }

  test('solves what it was made from, and only climbs to what hangs on the changed rows', () => {
    for (const seed of cases) {
      const made = randomCase(seed);
      const { n, branches, structure, parent } = made;
      const random = seededRandom(seed);
      const siemens = Float64Array.from(branches, () => 0.2 + random());
      const factor = newLdlFactor(structure);
      expect(factorLdl(factor, siemens, all(n))).toBe(true);
      for (let round = 0; round < 3; round++) {
        const changed = Math.floor(random() * branches.length);
        siemens[changed] = 0.2 + random();
        const dirty = new IndexSet(n);
        for (const row of branches[changed]!) if (row < n) dirty.add(row);
        expect(factorLdl(factor, siemens, dirty)).toBe(true);
        const climbed = new Set<number>();
        for (let k = 0; k < dirty.size; k++)
          for (let row = dirty.items[k]!; row >= 0; row = parent[row]!) climbed.add(structure.superOf[row]!);
        expect([...factor.reach.items.slice(0, factor.reach.size)].sort()).toEqual([...climbed].sort());
        const right = Float64Array.from({ length: n }, () => (random() < 0.5 ? 1 : -1));
        const x = right.slice();
        solveLdl(factor, x, all(n), new IndexSet(n), 0, Infinity);
        expect(worst(made, siemens, x, right), `seed ${seed}`).toBeLessThan(1e-9);
        // One ampere at one row: only the columns above it are walked.
        const single = new Float64Array(n);
        const row = Math.floor(random() * n);
        single[row] = 1;
        const rows = new IndexSet(n);
        rows.add(row);
        const moved = new IndexSet(n);
        const y = single.slice();
        solveLdl(factor, y, rows, moved, 0, Infinity);
        expect(worst(made, siemens, y, single), `seed ${seed}`).toBeLessThan(1e-9);
        expect([...y.keys()].filter((k) => moved.has(k))).toEqual([...y.keys()].filter((k) => y[k] !== 0));
      }
    }
  });

  test.each([1, 2, 3, 4, 5, 6, 7, 8, 9, 15, 16, 17, 33, 50, 64])('%i columns in one dense block', (n) => {
    const branches: Branch[] = [];
    for (let a = 0; a < n; a++) for (let b = a + 1; b <= n; b++) branches.push([a, b]);
    const made = caseOf(n, branches);
    expect(made.structure.superCount).toBe(1);
    const random = seededRandom(n);
    const siemens = Float64Array.from(branches, () => 0.1 + random());
    const factor = newLdlFactor(made.structure);
    expect(factorLdl(factor, siemens, all(n))).toBe(true);
    const right = Float64Array.from({ length: n }, () => random() - 0.5);
    const x = right.slice();
    solveLdl(factor, x, all(n), new IndexSet(n), 0, Infinity);
    expect(worst(made, siemens, x, right)).toBeLessThan(1e-11);
  });

  test('parts that hang on nothing are tied down, however well they conduct within', () => {
    const random = seededRandom(61);
    for (let round = 0; round < 60; round++) {
      // Rows 0 .. 3 hang on the reference; 4 .. 9 only on each other, by one to a thousand siemens.
      const branches: Branch[] = [
        [0, 10],
        [0, 1],
        [1, 2],
        [2, 3],
      ];
      for (let a = 4; a < 10; a++)
        for (let b = a + 1; b < 10; b++) if (random() < 0.7 || b === a + 1) branches.push([a, b]);
      const made = caseOf(10, branches);
      const siemens = Float64Array.from(branches, () => 10 ** (3 * random()));
      const factor = newLdlFactor(made.structure);
      expect(factorLdl(factor, siemens, all(10)), `round ${round}`).toBe(true);
      // What goes into such a part at one row and out at another stays within it.
      const [from, to] = [made.branches[4]![0], made.branches.at(-1)![1]];
      const right = new Float64Array(10);
      right[from] = 1;
      right[to] = -1;
      const x = right.slice();
      solveLdl(factor, x, all(10), new IndexSet(10), 0, Infinity);
      expect(worst(made, siemens, x, right), `round ${round}`).toBeLessThan(1e-6);
    }
  });

  test('no row moves by more than it may against the rows after it', () => {
    for (const seed of cases.slice(0, 40)) {
      const { n, branches, structure } = randomCase(seed);
      const factor = newLdlFactor(structure);
      factorLdl(
        factor,
        Float64Array.from(branches, () => 1),
        all(n),
      );
      const x = Float64Array.from({ length: n }, (_, k) => (k % 2 === 0 ? 100 : -90));
      solveLdl(factor, x, all(n), new IndexSet(n), 0, 2);
      // The last row hangs on nothing after it.
      expect(Math.abs(x[n - 1]!)).toBeLessThanOrEqual(2);
      const tight = Float64Array.from({ length: n }, () => 1e-3);
      const free = tight.slice();
      solveLdl(factor, tight, all(n), new IndexSet(n), 0, 1e6);
      solveLdl(factor, free, all(n), new IndexSet(n), 0, Infinity);
      expect([...tight]).toEqual([...free]);
    }
  });

  test('what is far below the least that matters is left at zero', () => {
    // A row of 30 resistors of 1 S, the first row to the reference by 1e6 S: an ampere into it moves all by a microvolt.
    const n = 30;
    const made = caseOf(
      n,
      Array.from({ length: n }, (_, k): Branch => [k, k + 1]),
    );
    const factor = newLdlFactor(made.structure);
    const siemens = Float64Array.from({ length: n }, (_, e) => (e === n - 1 ? 1e6 : 1));
    factorLdl(factor, siemens, all(n));
    const pushed = (least: number) => {
      const x = new Float64Array(n);
      x[n - 1] = 1;
      const rows = new IndexSet(n);
      rows.add(n - 1);
      const moved = new IndexSet(n);
      solveLdl(factor, x, rows, moved, least, Infinity);
      return { x, moved: moved.size };
    };
    expect(pushed(0).moved).toBe(n);
    expect(pushed(1e-7).moved).toBe(n);
    expect(Math.max(...pushed(1).x)).toBe(0);
    expect(pushed(1).moved).toBe(0);
  });
});
