/** Small dense linear algebra for the bound: matrices as rows of numbers. */

/** The inverse of a symmetric positive definite matrix by Gauss and Jordan; such a matrix needs no pivoting. */
export function inverse(matrix: readonly Float64Array[]): Float64Array[] {
  const size = matrix.length;
  const rows = matrix.map((row, index) => {
    const wide = new Float64Array(2 * size);
    wide.set(row);
    wide[size + index] = 1;
    return wide;
  });
  for (let pivot = 0; pivot < size; pivot++) {
    const own = rows[pivot] as Float64Array;
    const factor = 1 / (own[pivot] as number);
    for (let at = pivot; at < 2 * size; at++) own[at] = (own[at] as number) * factor;
    for (let other = 0; other < size; other++) {
      const row = rows[other] as Float64Array;
      const times = row[pivot] as number;
      if (other === pivot || times === 0) continue;
      for (let at = pivot; at < 2 * size; at++) row[at] = (row[at] as number) - times * (own[at] as number);
    }
  }
  return rows.map((row) => row.slice(size));
}

/** Solves a small symmetric positive definite system, rows one behind the other, in place of its arguments. */
export function solveSmall(matrix: Float64Array, right: Float64Array, size: number): void {
  for (let pivot = 0; pivot < size; pivot++) {
    const own = pivot * size;
    for (let below = pivot + 1; below < size; below++) {
      const row = below * size;
      const times = (matrix[row + pivot] as number) / (matrix[own + pivot] as number);
      if (times === 0) continue;
      for (let at = pivot; at < size; at++)
        matrix[row + at] = (matrix[row + at] as number) - times * (matrix[own + at] as number);
      right[below] = (right[below] as number) - times * (right[pivot] as number);
    }
  }
  for (let at = size - 1; at >= 0; at--) {
    let sum = right[at] as number;
    for (let other = at + 1; other < size; other++)
      sum -= (matrix[at * size + other] as number) * (right[other] as number);
    right[at] = sum / (matrix[at * size + at] as number);
  }
}
