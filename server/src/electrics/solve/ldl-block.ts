/** One block of a sparse L D L^T factor (see `ldl.ts`): gathered from A, changed by the blocks before it, factored. */
import { IndexSet } from './index-set.ts';
import type { LdlStructure } from './ldl-structure.ts';
import { none } from './none.ts';

export interface LdlFactor {
  readonly structure: LdlStructure;
  /** L by blocks; its diagonal of ones is not stored, and what stands above it means nothing. */
  readonly lower: Float64Array;
  readonly pivots: Float64Array;
  /** Supernodes to be visited, and a stack of them. */
  readonly reach: IndexSet;
  readonly stack: Int32Array;
  scaled: Float64Array;
}

export function newLdlFactor(structure: LdlStructure): LdlFactor {
  const { n, superCount, blockStarts } = structure;
  return {
    structure,
    lower: new Float64Array(blockStarts[superCount]),
    pivots: new Float64Array(n),
    reach: new IndexSet(superCount),
    stack: new Int32Array(superCount),
    scaled: new Float64Array(256),
  };
}

/** A pivot smaller than this share of its diagonal is rounding noise: that part hangs on nothing. */
const noise = 1e-13;
/** What such a part is tied down with, S. */
const tieSiemens = 1e-3;

/** Factors block s, those before it being factored. False when a pivot is negative. */
export function factorBlock(factor: LdlFactor, siemens: Float64Array, s: number): boolean {
  const { structure, lower, pivots } = factor;
  const { columnStarts, blockStarts, starts, branches, targets, updateStarts } = structure;
  const first = columnStarts[s];
  const width = columnStarts[s + 1] - first;
  const base = blockStarts[s];
  const end = blockStarts[s + 1];
  for (let at = base; at < end; at++) lower[at] = 0;
  for (let row = first, at = base; row < first + width; row++, at += width + 1) {
    let diagonal = 0;
    for (let p = starts[row]; p < starts[row + 1]; p++) {
      const g = siemens[branches[p]];
      diagonal += g;
      if (targets[p] !== none) lower[targets[p]] -= g;
    }
    lower[at] = diagonal;
    pivots[row] = diagonal;
  }
  for (let p = updateStarts[s]; p < updateStarts[s + 1]; p++) applyUpdate(factor, p);
  return factorDense(lower, pivots, first, base, end, width);
}

/**
 * Subtracts from the block at work what a supernode before it contributes: L2 D L1^T, where L1 are its rows within
 * the block's columns and L2 those and all rows below. Two rows by two columns at a time keep four sums going.
 */
function applyUpdate(factor: LdlFactor, update: number): void {
  const { structure, lower, pivots } = factor;
  const { columnStarts, rowStarts, rows, blockStarts, updates, updateFrom, updateTo } = structure;
  const { updateTargetStarts, updateTargets } = structure;
  const s = updates[update];
  const from = updateFrom[update];
  const to = updateTo[update];
  const end = rowStarts[s + 1];
  const column = columnStarts[s];
  const width = columnStarts[s + 1] - column;
  const rowBase = blockStarts[s] + width * width - rowStarts[s] * width;
  const targetBase = updateTargetStarts[update] - from;
  const scaled = scaledRows(factor, (to - from) * width);
  for (let i = from, t = 0; i < to; i++) {
    const at = rowBase + i * width;
    for (let k = 0; k < width; k++) scaled[t++] = lower[at + k] * pivots[column + k];
  }
  let i = from;
  for (; i + 1 < end; i += 2) {
    const a = rowBase + i * width;
    const b = a + width;
    const targetA = updateTargets[targetBase + i];
    const targetB = updateTargets[targetBase + i + 1];
    // Row i takes part up to its own column, row i + 1 up to the next: there row i stands above the diagonal.
    const columns = Math.min(to, i + 2);
    let j = from;
    for (; j + 1 < columns; j += 2) {
      const c = (j - from) * width;
      const d = c + width;
      let ac = 0;
      let ad = 0;
      let bc = 0;
      let bd = 0;
      for (let k = 0; k < width; k++) {
        const ak = lower[a + k];
        const bk = lower[b + k];
        const ck = scaled[c + k];
        const dk = scaled[d + k];
        ac += ak * ck;
        ad += ak * dk;
        bc += bk * ck;
        bd += bk * dk;
      }
      lower[targetA + rows[j]] -= ac;
      lower[targetB + rows[j]] -= bc;
      lower[targetA + rows[j + 1]] -= ad;
      lower[targetB + rows[j + 1]] -= bd;
    }
    if (j < columns) {
      const c = (j - from) * width;
      let ac = 0;
      let bc = 0;
      for (let k = 0; k < width; k++) {
        ac += lower[a + k] * scaled[c + k];
        bc += lower[b + k] * scaled[c + k];
      }
      lower[targetA + rows[j]] -= ac;
      lower[targetB + rows[j]] -= bc;
    }
  }
  if (i < end) {
    const a = rowBase + i * width;
    const target = updateTargets[targetBase + i];
    for (let j = from; j < Math.min(to, i + 1); j++) {
      const c = (j - from) * width;
      let sum = 0;
      for (let k = 0; k < width; k++) sum += lower[a + k] * scaled[c + k];
      lower[target + rows[j]] -= sum;
    }
  }
}

function scaledRows(factor: LdlFactor, length: number): Float64Array {
  if (factor.scaled.length < length) factor.scaled = new Float64Array(2 * length);
  return factor.scaled;
}

/**
 * L D L^T of the block's own columns, and L of the rows below. Row i is reduced to c[j] = L[i][j] D[j] by the rows of L
 * above it, then divided by the pivots; four rows at a time keep four sums going. `pivots` holds the diagonal on entry.
 */
function factorDense(
  lower: Float64Array,
  pivots: Float64Array,
  first: number,
  base: number,
  end: number,
  width: number,
): boolean {
  let i = 0;
  for (; i + 4 <= width; i += 4) {
    const row = base + i * width;
    reduceFour(lower, base, row, width, i);
    for (let own = i; own < i + 4; own++) {
      const at = base + own * width;
      reduceOne(lower, base, at, width, i, own);
      if (!divideRow(lower, pivots, first, at, own)) return false;
    }
  }
  for (; i < width; i++) {
    const at = base + i * width;
    reduceOne(lower, base, at, width, 0, i);
    if (!divideRow(lower, pivots, first, at, i)) return false;
  }
  let row = base + width * width;
  for (; row + 3 * width < end; row += 4 * width) reduceFour(lower, base, row, width, width);
  for (; row < end; row += width) reduceOne(lower, base, row, width, 0, width);
  for (let j = 0; j < width; j++) {
    const share = 1 / pivots[first + j];
    for (let at = base + width * width + j; at < end; at += width) lower[at] *= share;
  }
  return true;
}

/** Reduces columns 0 .. to - 1 of the four rows from `row` on. */
function reduceFour(lower: Float64Array, base: number, row: number, width: number, to: number): void {
  const row1 = row + width;
  const row2 = row1 + width;
  const row3 = row2 + width;
  for (let j = 1; j < to; j++) {
    const other = base + j * width;
    let c0 = lower[row + j];
    let c1 = lower[row1 + j];
    let c2 = lower[row2 + j];
    let c3 = lower[row3 + j];
    for (let k = 0; k < j; k++) {
      const l = lower[other + k];
      c0 -= lower[row + k] * l;
      c1 -= lower[row1 + k] * l;
      c2 -= lower[row2 + k] * l;
      c3 -= lower[row3 + k] * l;
    }
    lower[row + j] = c0;
    lower[row1 + j] = c1;
    lower[row2 + j] = c2;
    lower[row3 + j] = c3;
  }
}

/** Reduces columns from .. to - 1 of one row, of which those before are reduced. */
function reduceOne(lower: Float64Array, base: number, row: number, width: number, from: number, to: number): void {
  for (let j = Math.max(from, 1); j < to; j++) {
    const other = base + j * width;
    let c = lower[row + j];
    for (let k = 0; k < j; k++) c -= lower[row + k] * lower[other + k];
    lower[row + j] = c;
  }
}

/** Turns the reduced row i of the block's own columns into L and its pivot; false when that is negative. */
function divideRow(lower: Float64Array, pivots: Float64Array, first: number, row: number, i: number): boolean {
  let pivot = lower[row + i];
  for (let j = 0; j < i; j++) {
    const c = lower[row + j];
    const l = c / pivots[first + j];
    lower[row + j] = l;
    pivot -= l * c;
  }
  const small = noise * pivots[first + i];
  if (!(pivot >= -small)) return false;
  if (pivot > small) pivots[first + i] = pivot;
  else pivots[first + i] = tieSiemens;
  return true;
}
