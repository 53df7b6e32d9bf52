import { expect, test } from 'vitest';
import {
  choleskyFactor,
  diagonal,
  solveInPlace,
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
});

test('solveInPlace() solves the same equations', () => {
  const rows = [Float64Array.of(2, 1, 4), Float64Array.of(1, 3, 7)];
  expect([...solveInPlace(rows)]).toEqual([1, 2]);
});

test('diagonal() has its values on the diagonal and nothing beside it', () => {
  expect(diagonal([2, 3]).map((row) => [...row])).toEqual([
    [2, 0],
    [0, 3],
  ]);
});
