import { describe, expect, test } from 'vitest';
import { looksRound } from '../../../src/measuring/highlights/cellRegions.ts';

const columns = 40;

/** Cells of a grid whose middles lie inside. */
function cellsInside(isInside: (x: number, y: number) => boolean): readonly number[] {
  const all = Array.from({ length: columns * columns }, (_, cell) => cell);
  return all.filter((cell) => isInside((cell % columns) - 20, Math.floor(cell / columns) - 20));
}

describe('looksRound()', () => {
  const places = Array.from({ length: 8 }, (_, at) => at / 8);

  test.each([3.1, 3.6, 3.9, 4.2, 5.9, 8, 15])('a disc of %f cells is round wherever it lies', (radius) => {
    for (const x0 of places)
      for (const y0 of places)
        expect(
          looksRound(
            cellsInside((x, y) => Math.hypot(x - x0, y - y0) < radius),
            columns,
          ),
        ).toBe(true);
  });

  test.each([
    ['a square', (x: number, y: number) => Math.abs(x) <= 4 && Math.abs(y) <= 4],
    [
      'a square of which the corners are gone',
      (x: number, y: number) => Math.abs(x) + Math.abs(y) < 16 && Math.max(Math.abs(x), Math.abs(y)) <= 8,
    ],
    ['an ellipse of 3:2', (x: number, y: number) => Math.hypot(x / 12, y / 7) < 1],
    ['a strip', (x: number, y: number) => Math.abs(x) <= 12 && Math.abs(y) <= 2],
    ['half a disc', (x: number, y: number) => Math.hypot(x, y) < 12 && y > 0],
  ])('%s is not', (_, isInside) => {
    expect(looksRound(cellsInside(isInside), columns)).toBe(false);
  });
});
