/** A symmetric matrix, or the lower factor of one, by rows. */
export type Matrix = readonly Float64Array[];

/**
 * A matrix with the values on its diagonal and 0 elsewhere.
 * @example [...diagonal([2, 3])[1]] // [0, 3]
 */
export function diagonal(values: readonly number[]): Matrix {
  return values.map((value, at) => {
    const row = new Float64Array(values.length);
    row[at] = value;
    return row;
  });
}

/**
 * Lower factor L of a positive definite matrix, L L' = the matrix (Golub & Van Loan, Matrix Computations, section 4.2).
 * @example [...choleskyFactor([[4, 2], [2, 5]])[1]] // [1, 2]
 */
export function choleskyFactor(matrix: Matrix): Matrix {
  const factor = matrix.map(() => new Float64Array(matrix.length));
  for (let row = 0; row < matrix.length; row++) {
    const own = factor[row]!;
    for (let column = 0; column <= row; column++) {
      const other = factor[column]!;
      let sum = matrix[row]![column]!;
      for (let k = 0; k < column; k++) sum -= own[k]! * other[k]!;
      own[column] = row === column ? Math.sqrt(sum) : sum / other[column]!;
    }
  }
  return factor;
}

/**
 * x of L x = right.
 * @example [...solveLower([[2, 0], [1, 2]], [4, 6])] // [2, 2]
 */
export function solveLower(factor: Matrix, right: ArrayLike<number>): Float64Array {
  const x = Float64Array.from(right);
  for (let row = 0; row < x.length; row++) {
    const own = factor[row]!;
    for (let k = 0; k < row; k++) x[row]! -= own[k]! * x[k]!;
    x[row]! /= own[row]!;
  }
  return x;
}

/**
 * x of L' x = right.
 * @example [...solveUpper([[2, 0], [1, 2]], [6, 4])] // [2, 2]
 */
export function solveUpper(factor: Matrix, right: ArrayLike<number>): Float64Array {
  const x = Float64Array.from(right);
  for (let row = x.length - 1; row >= 0; row--) {
    for (let k = row + 1; k < x.length; k++) x[row]! -= factor[k]![row]! * x[k]!;
    x[row]! /= factor[row]![row]!;
  }
  return x;
}

/**
 * Solves symmetric positive equations by elimination, where nobody needs their factor and memory is to be used again:
 * each row carries its right side as its last value and is overwritten, and so is `solution`.
 * @example [...solveInPlace([[2, 1, 4], [1, 3, 7]])] // [1, 2]
 */
export function solveInPlace(
  rows: readonly Float64Array[],
  solution: Float64Array = new Float64Array(rows.length),
): Float64Array {
  const size = rows.length;
  for (let i = 0; i < size; i++) {
    const row = rows[i]!;
    for (let j = i + 1; j < size; j++) {
      const below = rows[j]!;
      const factor = below[i]! / row[i]!;
      if (factor !== 0) for (let k = i; k <= size; k++) below[k]! -= factor * row[k]!;
    }
  }
  for (let i = size - 1; i >= 0; i--) {
    let remainder = rows[i]![size]!;
    for (let j = i + 1; j < size; j++) remainder -= rows[i]![j]! * solution[j]!;
    solution[i] = remainder / rows[i]![i]!;
  }
  return solution;
}
