/** A symmetric matrix by rows. */
export type Matrix = readonly Float64Array[];

export function diagonal(values: readonly number[]): Matrix {
  return values.map((value, at) => {
    const row = new Float64Array(values.length);
    row[at] = value;
    return row;
  });
}

/** Lower factor L of a positive definite matrix, L L' = the matrix. */
export function choleskyFactor(matrix: Matrix): Matrix {
  const size = matrix.length;
  const factor = matrix.map(() => new Float64Array(size));
  for (let row = 0; row < size; row++) {
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

/** x of L x = right. */
export function solveLower(factor: Matrix, right: ArrayLike<number>): Float64Array {
  const x = Float64Array.from(right);
  for (let row = 0; row < x.length; row++) {
    const own = factor[row]!;
    for (let k = 0; k < row; k++) x[row]! -= own[k]! * x[k]!;
    x[row]! /= own[row]!;
  }
  return x;
}

/** x of L' x = right. */
export function solveUpper(factor: Matrix, right: ArrayLike<number>): Float64Array {
  const x = Float64Array.from(right);
  for (let row = x.length - 1; row >= 0; row--) {
    for (let k = row + 1; k < x.length; k++) x[row]! -= factor[k]![row]! * x[k]!;
    x[row]! /= factor[row]![row]!;
  }
  return x;
}

/** Logarithm of the determinant of the matrix that was factored. */
export function logDeterminant(factor: Matrix): number {
  return 2 * factor.reduce((sum, row, at) => sum + Math.log(row[at]!), 0);
}
