/**
 * Sparse A = L D L^T of a conductance matrix, block by block (see `ldl-structure.ts`), each block from those that
 * change it ("left-looking"; E. G. Ng, B. W. Peyton, SIAM J. Sci. Comput. 14, 1993, 1034-1056).
 *
 * When branches change, only their blocks and the ancestors of these in the elimination tree are factored again: the
 * same path that a low-rank update of L would walk (T. A. Davis, W. W. Hager, SIAM J. Matrix Anal. Appl. 20, 1999,
 * 606-627), but exact, also when a part comes loose.
 */
import type { IndexSet } from './index-set.ts';
import { factorBlock, type LdlFactor } from './ldl-block.ts';
import { none } from './none.ts';

/**
 * Factors again all rows that depend on the `dirty` ones, with the conductances `siemens` of the branches.
 * Parts without any hold are tied down weakly. Returns false, with the factor unusable, when a pivot is negative.
 */
export function factorLdl(factor: LdlFactor, siemens: Float64Array, dirty: IndexSet): boolean {
  const { reach } = factor;
  climb(factor, dirty);
  reach.sort();
  for (let k = 0; k < reach.size; k++) if (!factorBlock(factor, siemens, reach.items[k])) return false;
  return true;
}

/** Fills `reach` with the supernodes of the rows and all their ancestors in the elimination tree. */
function climb(factor: LdlFactor, rows: IndexSet): void {
  const { reach, structure } = factor;
  const { parent, superOf } = structure;
  reach.clear();
  for (let k = 0; k < rows.size; k++) {
    for (let s = superOf[rows.items[k]]; s !== none && !reach.has(s); s = parent[s]) reach.add(s);
  }
}

/**
 * Solves A x = b in place, b and x in elimination order; b is zero outside `rows`. Adds the rows in which x is not
 * zero to `moved`. Values of x that depend on none above `least`, or are a thousand times smaller, are left at zero.
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
  const { reach, structure, stack } = factor;
  climb(factor, rows);
  // Forward along the reached blocks only; back down the tree only as far as something moves.
  reach.sort();
  let depth = 0;
  for (let k = 0; k < reach.size; k++) {
    const s = reach.items[k];
    if (structure.parent[s] === none) stack[depth++] = s;
    forward(factor, x, s);
  }
  while (depth > 0) {
    const s = stack[--depth];
    const largest = backward(factor, x, s, moved, least, most);
    for (let child = structure.firstChild[s]; child !== none; child = structure.sibling[child]) {
      if (largest > least || reach.has(child)) stack[depth++] = child;
    }
  }
}

const negligible = 1e-3;

/** x := L^-1 x for one block: its own columns, then what they do to the rows below. */
function forward(factor: LdlFactor, x: Float64Array, s: number): void {
  const { structure, lower } = factor;
  const { columnStarts, rowStarts, rows, blockStarts } = structure;
  const first = columnStarts[s];
  const width = columnStarts[s + 1] - first;
  let at = blockStarts[s];
  for (let i = 0; i < width; i++, at += width) {
    let y = x[first + i];
    for (let k = 0; k < i; k++) y -= lower[at + k] * x[first + k];
    x[first + i] = y;
  }
  for (let p = rowStarts[s]; p < rowStarts[s + 1]; p++, at += width) {
    let sum = 0;
    for (let k = 0; k < width; k++) sum += lower[at + k] * x[first + k];
    x[rows[p]] -= sum;
  }
}

/** x := L^-T D^-1 x for one block. Returns the largest value of x among its columns and the rows they depend on. */
function backward(factor: LdlFactor, x: Float64Array, s: number, moved: IndexSet, least: number, most: number): number {
  const { structure, lower, pivots } = factor;
  const { columnStarts, rowStarts, rows, blockStarts } = structure;
  const first = columnStarts[s];
  const width = columnStarts[s + 1] - first;
  let largest = 0;
  for (let i = 0; i < width; i++) x[first + i] = Math.max(-most, Math.min(most, x[first + i] / pivots[first + i]));
  let at = blockStarts[s] + width * width;
  for (let p = rowStarts[s]; p < rowStarts[s + 1]; p++, at += width) {
    const above = x[rows[p]];
    if (above === 0) continue;
    largest = Math.max(largest, Math.abs(above));
    for (let k = 0; k < width; k++) x[first + k] -= lower[at + k] * above;
  }
  for (let i = width - 1; i >= 0; i--) {
    const y = x[first + i];
    if (Math.abs(y) <= negligible * least) {
      x[first + i] = 0;
      continue;
    }
    moved.add(first + i);
    largest = Math.max(largest, Math.abs(y));
    const row = blockStarts[s] + i * width;
    for (let k = 0; k < i; k++) x[first + k] -= lower[row + k] * y;
  }
  return largest;
}
