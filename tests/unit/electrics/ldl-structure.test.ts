/**
 * The structure of the sparse factor, number by number against its definition: the pattern of L is found by elimination
 * on plain sets, and every list must say of it what `LdlStructure` promises.
 */
import { expect, test } from 'vitest';
import type { LdlStructure } from '#server/electrics/solve/ldl-structure.ts';
import { randomCase } from '../../support/ldl-cases.ts';

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
