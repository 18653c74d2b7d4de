/** Networks of branches for the sparse factor, with the pattern of L found by elimination on plain sets. */
import { analyseLdl, gatherSubtrees, type LdlStructure } from '#server/electrics/solve/ldl-structure.ts';
import { seededRandom } from './random-circuit.ts';

/** Row n of a network of n rows is the reference. */
export type Branch = readonly [a: number, b: number];

/** The branches at each row, as the structure takes them. */
export function branchLists(n: number, branches: readonly Branch[]) {
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

export interface Case {
  readonly n: number;
  readonly branches: readonly Branch[];
  readonly structure: LdlStructure;
  /** Rows below the diagonal in each column of L, rising, and the first of them. */
  readonly pattern: readonly (readonly number[])[];
  readonly parent: readonly number[];
}

export function caseOf(n: number, given: readonly Branch[]): Case {
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
export function randomCase(seed: number): Case {
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
