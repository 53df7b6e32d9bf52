import { expect, test } from 'vitest';
import {
  choleskyFactor,
  diagonal,
  logDeterminant,
  solveLower,
  solveUpper,
} from '../../src/domain/linearAlgebra.ts';

// 2x + y = 4, x + 3y = 7: x = 1, y = 2; the determinant is 5.
const matrix = [Float64Array.of(2, 1), Float64Array.of(1, 3)];

test('the two halves of a factor solve equations with a known answer', () => {
  const factor = choleskyFactor(matrix);
  const [x, y] = solveUpper(factor, solveLower(factor, [4, 7]));
  expect(x).toBeCloseTo(1, 14);
  expect(y).toBeCloseTo(2, 14);
  expect(logDeterminant(factor)).toBeCloseTo(Math.log(5), 14);
});

test('they do so in the memory of the equations themselves', () => {
  const rows = matrix.map((row) => row.slice());
  const right = Float64Array.of(4, 7);
  choleskyFactor(rows, rows);
  solveUpper(rows, solveLower(rows, right, right), right);
  expect(right[0]).toBeCloseTo(1, 14);
  expect(right[1]).toBeCloseTo(2, 14);
});

test('diagonal() has its values on the diagonal and nothing beside it', () => {
  expect(diagonal([2, 3]).map((row) => [...row])).toEqual([
    [2, 0],
    [0, 3],
  ]);
});
