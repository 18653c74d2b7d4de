/**
 * The structure of the sparse factor, number by number against its definition: the pattern of L is found by elimination
 * on plain sets, and every list must say of it what `LdlStructure` promises. Then the factor itself, dense blocks of all
 * widths included.
 */
import { describe, expect, test } from 'vitest';
import { IndexSet } from '#server/electrics/solve/index-set.ts';
import { factorLdl, solveLdl } from '#server/electrics/solve/ldl.ts';
import { newLdlFactor } from '#server/electrics/solve/ldl-block.ts';
import { analyseLdl, gatherSubtrees, type LdlStructure } from '#server/electrics/solve/ldl-structure.ts';
import { seededRandom } from '../../support/random-circuit.ts';

type Branch = readonly [a: number, b: number];

function branchLists(n: number, branches: readonly Branch[]) {
  const at = Array.from({ length: n }, () => [] as { branch: number; other: number }[]);
  branches.forEach(([a, b], branch) => {
    if (a < n) at[a]!.push({ branch, other: b });
    if (b < n) at[b]!.push({ branch, other: a });
  });
  const starts = new Int32Array(n + 1);
  at.forEach((list, k) => {
    starts[k + 1] = starts[k]! + list.length;
  });
  const flat = at.flat();
  return {
    starts,
    branches: Int32Array.from(flat, ({ branch }) => branch),
    others: Int32Array.from(flat, ({ other }) => other),
  };
}

interface Case {
  readonly n: number;
  readonly branches: readonly Branch[];
  readonly structure: LdlStructure;
  /** Rows below the diagonal in each column of L, rising, and the first of them. */
  readonly pattern: readonly (readonly number[])[];
  readonly parent: readonly number[];
}

function caseOf(n: number, given: readonly Branch[]): Case {
  const first = branchLists(n, given);
  const place = gatherSubtrees(n, first.starts, first.others);
  const branches = given.map(([a, b]): Branch => [a < n ? place[a]! : n, b < n ? place[b]! : n]);
  const lists = branchLists(n, branches);
  const structure = analyseLdl(n, lists.starts, lists.branches, lists.others);
  const below = Array.from({ length: n }, () => new Set<number>());
  for (const [a, b] of branches) if (a < n && b < n && a !== b) below[Math.min(a, b)]!.add(Math.max(a, b));
  const pattern = below.map((set) => {
    const rows = [...set].sort((a, b) => a - b);
    for (const row of rows.slice(1)) below[rows[0]!]!.add(row);
    return rows;
  });
  return { n, branches, structure, pattern, parent: pattern.map((rows) => rows[0] ?? -1) };
}

/** Trees with more branches, meshes, and dense parts that hang together by a few: every width of block comes up. */
function randomCase(seed: number): Case {
  const random = seededRandom(seed);
  const whole = (most: number) => Math.floor(random() * most);
  const n = 1 + whole(70);
  const branches: Branch[] = Array.from({ length: n }, (_, i): Branch => [i, i === 0 ? n : whole(i)]);
  for (let i = whole(2 * n); i > 0; i--) {
    const [a, b] = [whole(n), whole(n + 1)];
    branches.push(a === b ? [a, n] : [a, b]);
  }
  if (seed % 3 === 0) {
    const [from, size] = [whole(n), 2 + whole(30)];
    for (let a = from; a < Math.min(n, from + size); a++) for (let b = from; b < a; b++) branches.push([a, b]);
  }
  return caseOf(n, branches);
}

const cases = Array.from({ length: 36 }, (_, i) => i + 1);
const columnsOf = ({ columnStarts }: LdlStructure, s: number) => [columnStarts[s]!, columnStarts[s + 1]!] as const;
const rowsOf = ({ rowStarts, rows }: LdlStructure, s: number) => [...rows.slice(rowStarts[s], rowStarts[s + 1])];

test('the columns fall into supernodes, one behind another, and each has the rows of its last column', () => {
  for (const seed of cases) {
    const { n, structure, pattern, parent } = randomCase(seed);
    const { superCount, superOf, blockStarts } = structure;
    expect([structure.columnStarts[0], structure.columnStarts[superCount]]).toEqual([0, n]);
    for (let s = 0; s < superCount; s++) {
      const [first, end] = columnsOf(structure, s);
      expect(end).toBeGreaterThan(first);
      const rows = rowsOf(structure, s);
      expect(rows, `seed ${seed}`).toEqual(pattern[end - 1]);
      expect(blockStarts[s + 1]! - blockStarts[s]!).toBe((end - first) * (end - first + rows.length));
      expect([...superOf.slice(first, end)].every((own) => own === s)).toBe(true);
      // What the columns before it have lies in the block.
      const block = new Set([...rows, ...Array.from({ length: end - first }, (_, i) => first + i)]);
      expect(
        pattern
          .slice(first, end)
          .flat()
          .every((row) => block.has(row)),
      ).toBe(true);
      const hangsOn = parent[end - 1]!;
      expect(structure.parent[s]).toBe(hangsOn < 0 ? -1 : superOf[hangsOn]);
      const children: number[] = [];
      for (let child = structure.firstChild[s]!; child >= 0; child = structure.sibling[child]!) children.push(child);
      expect(children).toEqual([...structure.parent.keys()].filter((other) => structure.parent[other] === s));
    }
  }
});

/** How large a share of zeros a block of so many columns may have, as `isWorthZeros` says. */
const mostZeros = (width: number) => (width <= 4 ? 0.5 : width <= 16 ? 0.2 : width <= 48 ? 0.1 : 0.05);

test('columns with the same rows are together; others where the zeros are few, and nowhere else', () => {
  for (const seed of cases) {
    const { n, structure, pattern, parent } = randomCase(seed);
    for (let k = 1; k < n; k++) {
      const isSame = parent[k - 1] === k && pattern[k - 1]!.length === pattern[k]!.length + 1;
      if (isSame) expect(structure.superOf[k], `seed ${seed}, column ${k}`).toBe(structure.superOf[k - 1]);
    }
    const share = (first: number, end: number) => {
      const [width, height] = [end - first, pattern[end - 1]!.length];
      let used = 0;
      for (let k = first; k < end; k++) used += pattern[k]!.length;
      return ((width * (width - 1)) / 2 + width * height - used) / (width * (width / 2 + height));
    };
    for (let s = 0; s < structure.superCount; s++) {
      const [first, end] = columnsOf(structure, s);
      expect(share(first, end)).toBeLessThanOrEqual(mostZeros(end - first));
      if (s === 0) continue;
      const [before] = columnsOf(structure, s - 1);
      const hangsOn = parent[first - 1]!;
      // Two that hang together stay apart only because together they would have too many.
      if (hangsOn >= first && hangsOn < end) expect(share(before, end)).toBeGreaterThan(mostZeros(end - before));
    }
  }
});

test('who changes whom, and where each number goes', () => {
  for (const seed of cases) {
    const { n, structure } = randomCase(seed);
    const { superCount, superOf, updateStarts, updates, updateFrom, updateTo, blockStarts, rowStarts, rows } =
      structure;
    const placeIn = (s: number, row: number) => {
      const [first, end] = columnsOf(structure, s);
      const index = row < end ? row - first : end - first + rowsOf(structure, s).indexOf(row);
      return blockStarts[s]! + index * (end - first);
    };
    for (let s = 0; s < superCount; s++) {
      const [first, end] = columnsOf(structure, s);
      const expected = [...Array(superCount).keys()].filter((other) => {
        return other !== s && rowsOf(structure, other).some((row) => superOf[row] === s);
      });
      const own = [...updates.slice(updateStarts[s], updateStarts[s + 1])];
      expect(own, `seed ${seed}`).toEqual(expected);
      own.forEach((other, i) => {
        const u = updateStarts[s]! + i;
        const mine = [...rows.slice(updateFrom[u], updateTo[u])];
        expect(mine).toEqual(rowsOf(structure, other).filter((row) => row >= first && row < end));
        const from = structure.updateTargetStarts[u]!;
        const all = [...rows.slice(updateFrom[u], rowStarts[other + 1])];
        const targets = [...structure.updateTargets.slice(from, from + all.length)];
        expect(targets).toEqual(all.map((row) => placeIn(s, row) - first));
      });
    }
    for (let k = 0; k < n; k++) {
      const s = superOf[k]!;
      const [from, to] = [structure.starts[k]!, structure.starts[k + 1]!];
      const expected = [...structure.others.slice(from, to)].map((other) => {
        return other > k && other < n ? placeIn(s, other) + k - columnsOf(structure, s)[0] : -1;
      });
      expect([...structure.targets.slice(from, to)]).toEqual(expected);
    }
  }
});

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
