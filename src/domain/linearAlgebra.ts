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
 *
 * @param into where to write; it may be the matrix itself, whose upper part then means nothing
 * @example [...choleskyFactor([[4, 2], [2, 5]])[1]] // [1, 2]
 */
export function choleskyFactor(
  matrix: Matrix,
  into: Matrix = matrix.map(() => new Float64Array(matrix.length)),
): Matrix {
  for (let row = 0; row < matrix.length; row++) {
    const own = into[row]!;
    for (let column = 0; column <= row; column++) {
      const other = into[column]!;
      let sum = matrix[row]![column]!;
      for (let k = 0; k < column; k++) sum -= own[k]! * other[k]!;
      own[column] = row === column ? Math.sqrt(sum) : sum / other[column]!;
    }
  }
  return into;
}

/**
 * x of L x = right.
 *
 * @param into where to write; it may be the right side itself
 * @example [...solveLower([[2, 0], [1, 2]], [4, 6])] // [2, 2]
 */
export function solveLower(
  factor: Matrix,
  right: ArrayLike<number>,
  into: Float64Array = new Float64Array(right.length),
): Float64Array {
  for (let row = 0; row < into.length; row++) {
    const own = factor[row]!;
    let sum = right[row]!;
    for (let k = 0; k < row; k++) sum -= own[k]! * into[k]!;
    into[row] = sum / own[row]!;
  }
  return into;
}

/**
 * x of L' x = right.
 *
 * @param into where to write; it may be the right side itself
 * @example [...solveUpper([[2, 0], [1, 2]], [6, 4])] // [2, 2]
 */
export function solveUpper(
  factor: Matrix,
  right: ArrayLike<number>,
  into: Float64Array = new Float64Array(right.length),
): Float64Array {
  for (let row = into.length - 1; row >= 0; row--) {
    let sum = right[row]!;
    for (let k = row + 1; k < into.length; k++) sum -= factor[k]![row]! * into[k]!;
    into[row] = sum / factor[row]![row]!;
  }
  return into;
}

/**
 * Logarithm of the determinant of the matrix that was factored.
 * @example logDeterminant(choleskyFactor([[4, 2], [2, 5]])) // 2.7726
 */
export function logDeterminant(factor: Matrix): number {
  return 2 * factor.reduce((sum, row, at) => sum + Math.log(row[at]!), 0);
}
