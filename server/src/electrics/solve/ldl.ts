/**
 * Sparse A = L D L^T of a symmetric matrix, row by row (the up-looking method: T. A. Davis, Algorithm 849, ACM Trans.
 * Math. Softw. 31, 2005, 587-591). The structure is found once; the numbers may be factored again and again.
 */

/** Structure of A and L in elimination order. Only the part above the diagonal of A is kept, column by column. */
export interface LdlStructure {
  readonly n: number;
  /** Column k of A's upper part: rows `rows[starts[k] .. starts[k + 1])`, all below k. */
  readonly starts: Int32Array;
  readonly rows: Int32Array;
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
}

/** Finds the structure of L. `starts`, `rows`: A's upper part, as in `LdlStructure`. */
export function analyseLdl(n: number, starts: Int32Array, rows: Int32Array): LdlStructure {
  const parent = new Int32Array(n).fill(-1);
  const flag = new Int32Array(n).fill(-1);
  const counts = new Int32Array(n);
  let total = 0;
  for (let k = 0; k < n; k++) {
    flag[k] = k;
    for (let p = starts[k]; p < starts[k + 1]; p++) {
      for (let i = rows[p]; flag[i] !== k; i = parent[i]) {
        if (parent[i] === -1) parent[i] = k;
        counts[i]++;
        total++;
        flag[i] = k;
      }
    }
  }
  const lowerStarts = new Int32Array(n + 1);
  for (let i = 0; i < n; i++) lowerStarts[i + 1] = lowerStarts[i] + counts[i];

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
      for (let i = rows[p]; flag[i] !== k; i = parent[i]) {
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
  return { n, starts, rows, lowerStarts, lowerRows, patternStarts, pattern, places };
}

export function newLdlFactor(structure: LdlStructure): LdlFactor {
  const { n } = structure;
  return {
    structure,
    lower: new Float64Array(structure.lowerRows.length),
    pivots: new Float64Array(n),
    work: new Float64Array(n),
  };
}

/** A pivot smaller than this share of its diagonal is rounding noise: that part hangs on nothing. */
const noise = 1e-13;
/** What such a part is tied down with, S. */
const tieSiemens = 1e-3;

/**
 * Factors the matrix with this diagonal (n) and these upper numbers (as `rows`).
 * Parts without any hold are tied down weakly. Returns false, with the factor unusable, when a pivot is negative.
 */
export function factorLdl(factor: LdlFactor, diagonal: Float64Array, upper: Float64Array): boolean {
  const { structure, lower, pivots, work } = factor;
  const { n, starts, rows, lowerStarts, lowerRows, patternStarts, pattern, places } = structure;
  for (let k = 0; k < n; k++) {
    for (let p = starts[k]; p < starts[k + 1]; p++) work[rows[p]] = upper[p];
    let pivot = diagonal[k];
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
    const small = noise * diagonal[k];
    if (pivot < -small || !(pivot > -Infinity)) {
      work.fill(0);
      return false;
    }
    pivots[k] = pivot > small ? pivot : tieSiemens;
  }
  return true;
}

/**
 * Solves A x = b in place; b and x in elimination order.
 * No row moves by more than `most` against the rows eliminated after it: a part that hangs on almost nothing takes a
 * short step as a whole, and the other parts their full one. That is the solution for larger pivots, so that x stays a
 * direction of descent.
 */
export function solveLdl(factor: LdlFactor, x: Float64Array, most = Infinity): void {
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
  }
}
