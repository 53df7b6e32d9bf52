/**
 * Solves symmetric positive equations by elimination; each row carries its right side as its last value. The rows are
 * overwritten, and so is `solution` where it is given.
 */
export function solve(
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
    let rest = rows[i]![size]!;
    for (let j = i + 1; j < size; j++) rest -= rows[i]![j]! * solution[j]!;
    solution[i] = rest / rows[i]![i]!;
  }
  return solution;
}
