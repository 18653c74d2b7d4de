/**
 * Sparse A = L D L^T of a conductance matrix, row by row (the up-looking method: T. A. Davis, Algorithm 849, ACM Trans.
 * Math. Softw. 31, 2005, 587-591). A is given by its branches: each adds its conductance g to the diagonal of its two
 * rows and -g between them; a branch with one row goes to the reference.
 *
 * The structure is found once. When branches change, only their rows and the ancestors of these in the elimination
 * tree are factored again: the same path that a low-rank update of L would walk (T. A. Davis, W. W. Hager, SIAM J.
 * Matrix Anal. Appl. 20, 1999, 606-627), but exact, also when a part comes loose.
 */
import { IndexSet } from './index-set.ts';

/** Structure of A and L in elimination order. */
export interface LdlStructure {
  readonly n: number;
  /** The branches at row k: `branches[starts[k] .. starts[k + 1])`, and their other rows, n for the reference. */
  readonly starts: Int32Array;
  readonly branches: Int32Array;
  readonly others: Int32Array;
  /** Elimination tree; -1 ends a list. */
  readonly parent: Int32Array;
  readonly firstChild: Int32Array;
  readonly sibling: Int32Array;
  /** Column i of L: its row numbers, rising, at `lowerStarts[i] .. lowerStarts[i + 1])`. */
  readonly lowerStarts: Int32Array;
  readonly lowerRows: Int32Array;
  /** Row k of L: the columns in which it has a number, in an order in which they can be eliminated, and their places. */
  readonly patternStarts: Int32Array;
  readonly pattern: Int32Array;
  readonly places: Int32Array;
}

export interface LdlFactor {
  readonly structure: LdlStructure;
  readonly lower: Float64Array;
  readonly pivots: Float64Array;
  readonly work: Float64Array;
  readonly reach: IndexSet;
  readonly stack: Int32Array;
}

/** Finds the structure of L from the branches of each row (as in `LdlStructure`). */
export function analyseLdl(n: number, starts: Int32Array, branches: Int32Array, others: Int32Array): LdlStructure {
  const parent = new Int32Array(n).fill(-1);
  const flag = new Int32Array(n).fill(-1);
  const lowerStarts = new Int32Array(n + 1);
  for (let k = 0; k < n; k++) {
    flag[k] = k;
    for (let p = starts[k]; p < starts[k + 1]; p++) {
      for (let i = others[p]; i < k && flag[i] !== k; i = parent[i]) {
        if (parent[i] === -1) parent[i] = k;
        lowerStarts[i + 1]++;
        flag[i] = k;
      }
    }
  }
  for (let i = 0; i < n; i++) lowerStarts[i + 1] += lowerStarts[i];

  const total = lowerStarts[n];
  const lowerRows = new Int32Array(total);
  const patternStarts = new Int32Array(n + 1);
  const pattern = new Int32Array(total);
  const places = new Int32Array(total);
  const filled = lowerStarts.slice(0, n);
  const path = new Int32Array(n);
  flag.fill(-1);
  let end = 0;
  for (let k = 0; k < n; k++) {
    flag[k] = k;
    // Each path up the elimination tree goes in front of those before it: descendants come before ancestors.
    let top = n;
    for (let p = starts[k]; p < starts[k + 1]; p++) {
      let length = 0;
      for (let i = others[p]; i < k && flag[i] !== k; i = parent[i]) {
        path[length++] = i;
        flag[i] = k;
      }
      while (length > 0) path[--top] = path[--length];
    }
    for (; top < n; top++) {
      const i = path[top];
      pattern[end] = i;
      places[end] = filled[i];
      lowerRows[filled[i]++] = k;
      end++;
    }
    patternStarts[k + 1] = end;
  }
  const firstChild = new Int32Array(n).fill(-1);
  const sibling = new Int32Array(n).fill(-1);
  for (let i = n - 1; i >= 0; i--) {
    if (parent[i] < 0) continue;
    sibling[i] = firstChild[parent[i]];
    firstChild[parent[i]] = i;
  }
  const tree = { parent, firstChild, sibling };
  return { n, starts, branches, others, ...tree, lowerStarts, lowerRows, patternStarts, pattern, places };
}

export function newLdlFactor(structure: LdlStructure): LdlFactor {
  const { n } = structure;
  return {
    structure,
    lower: new Float64Array(structure.lowerRows.length),
    pivots: new Float64Array(n),
    work: new Float64Array(n + 1),
    reach: new IndexSet(n),
    stack: new Int32Array(n),
  };
}

/** A pivot smaller than this share of its diagonal is rounding noise: that part hangs on nothing. */
const noise = 1e-13;
/** What such a part is tied down with, S. */
const tieSiemens = 1e-3;

/**
 * Factors again all rows that depend on the `dirty` ones, with the conductances `siemens` of the branches.
 * Parts without any hold are tied down weakly. Returns false, with the factor unusable, when a pivot is negative.
 */
export function factorLdl(factor: LdlFactor, siemens: Float64Array, dirty: IndexSet): boolean {
  const { reach, structure } = factor;
  climb(factor, dirty);
  const isAll = reach.isLarge();
  if (!isAll) reach.sort();
  let isPositive = true;
  const count = isAll ? structure.n : reach.size;
  for (let k = 0; k < count && isPositive; k++) isPositive = factorRow(factor, siemens, isAll ? k : reach.items[k]);
  if (!isPositive) factor.work.fill(0);
  return isPositive;
}

/** Fills `reach` with the rows and all their ancestors in the elimination tree. */
function climb(factor: LdlFactor, rows: IndexSet): void {
  const { reach, structure } = factor;
  const { parent } = structure;
  reach.clear();
  for (let k = 0; k < rows.size; k++) {
    for (let i = rows.items[k]; i >= 0 && !reach.has(i); i = parent[i]) reach.add(i);
  }
}

function factorRow(factor: LdlFactor, siemens: Float64Array, k: number): boolean {
  const { structure, lower, pivots, work } = factor;
  const { starts, branches, others, lowerStarts, lowerRows, patternStarts, pattern, places } = structure;
  let diagonal = 0;
  for (let p = starts[k]; p < starts[k + 1]; p++) {
    const g = siemens[branches[p]];
    diagonal += g;
    if (others[p] < k) work[others[p]] -= g;
  }
  let pivot = diagonal;
  for (let q = patternStarts[k]; q < patternStarts[k + 1]; q++) {
    const i = pattern[q];
    const place = places[q];
    const y = work[i];
    work[i] = 0;
    for (let p = lowerStarts[i]; p < place; p++) work[lowerRows[p]] -= lower[p] * y;
    const l = y / pivots[i];
    lower[place] = l;
    pivot -= l * y;
  }
  const small = noise * diagonal;
  if (!(pivot >= -small)) return false;
  pivots[k] = pivot > small ? pivot : tieSiemens;
  return true;
}

/**
 * Solves A x = b in place, b and x in elimination order; b is zero outside `rows`. Adds the rows in which x is not
 * zero to `moved`. Values of x that depend on none above `least` may be left at zero.
 *
 * No row moves by more than `most` against the rows eliminated after it: a part that hangs on almost nothing takes a
 * short step as a whole, and the other parts their full one. That is the solution for larger pivots, so that x stays a
 * direction of descent.
 */
export function solveLdl(
  factor: LdlFactor,
  x: Float64Array,
  rows: IndexSet,
  moved: IndexSet,
  least: number,
  most: number,
): void {
  climb(factor, rows);
  if (factor.reach.isLarge()) solveAll(factor, x, moved, most);
  else solveReached(factor, x, moved, least, most);
}

function solveAll(factor: LdlFactor, x: Float64Array, moved: IndexSet, most: number): void {
  const { structure, lower, pivots } = factor;
  const { n, lowerStarts, lowerRows } = structure;
  for (let i = 0; i < n; i++) {
    const y = x[i];
    if (y === 0) continue;
    for (let p = lowerStarts[i]; p < lowerStarts[i + 1]; p++) x[lowerRows[p]] -= lower[p] * y;
  }
  for (let i = n - 1; i >= 0; i--) {
    let y = Math.max(-most, Math.min(most, x[i] / pivots[i]));
    for (let p = lowerStarts[i]; p < lowerStarts[i + 1]; p++) y -= lower[p] * x[lowerRows[p]];
    x[i] = y;
    if (y !== 0) moved.add(i);
  }
}

/** Forward along the reached rows only; back down the tree only as far as something moves. */
function solveReached(factor: LdlFactor, x: Float64Array, moved: IndexSet, least: number, most: number): void {
  const { structure, lower, pivots, reach, stack } = factor;
  const { lowerStarts, lowerRows, parent, firstChild, sibling } = structure;
  reach.sort();
  let depth = 0;
  for (let k = 0; k < reach.size; k++) {
    const i = reach.items[k];
    if (parent[i] < 0) stack[depth++] = i;
    const y = x[i];
    for (let p = lowerStarts[i]; p < lowerStarts[i + 1]; p++) x[lowerRows[p]] -= lower[p] * y;
  }
  while (depth > 0) {
    const i = stack[--depth];
    let y = Math.max(-most, Math.min(most, x[i] / pivots[i]));
    let largest = 0;
    for (let p = lowerStarts[i]; p < lowerStarts[i + 1]; p++) {
      const above = x[lowerRows[p]];
      y -= lower[p] * above;
      largest = Math.max(largest, Math.abs(above));
    }
    x[i] = y;
    if (y !== 0) moved.add(i);
    largest = Math.max(largest, Math.abs(y));
    for (let child = firstChild[i]; child >= 0; child = sibling[child]) {
      if (largest > least || reach.has(child)) stack[depth++] = child;
    }
  }
}
