import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { clippedRegion, looksRound, regionsOf } from '../../../src/measuring/highlights/clippedRegion.ts';

/** Digits are counts, a point is none. */
function regionsIn(rows: readonly string[], needed = 1) {
  const columns = rows[0]!.length;
  const counts = Uint32Array.from(rows.join('').split(''), (sign) => (sign === '.' ? 0 : Number(sign)));
  const grid = { columns, rows: rows.length, counts, pixels: counts.length, cellPixels: 1 };
  return regionsOf(grid, needed).map(({ pixels, cells }) => ({ pixels, cells: [...cells()] }));
}

describe('clippedRegion()', () => {
  // Sizes at which cameras write, and how many of their rows are looked at.
  test.each([
    [1920, 1080, 1],
    [2704, 1520, 2],
    [3840, 2160, 4],
    [4000, 3000, 1],
    [4096, 2160, 4],
    [5120, 2700, 2],
    [5280, 3956, 1],
    [5472, 3078, 1],
    [641, 361, 1],
  ])('a white picture of %i x %i, every %i. row of it, is white in all of it', (width, height, rowStep) => {
    const rows = height / rowStep;
    const codes = new Uint8Array(width * rows).fill(255);
    const { largestFraction, thirds } = clippedRegion(
      { width, height: rows, codes, rowStep },
      { low: 250, high: 255 },
    );
    // Of a corner with less than a quarter of a cell nothing counts.
    expect(largestFraction).toBeCloseTo(1, 4);
    expect(largestFraction).toBeLessThanOrEqual(1);
    expect(thirds!.upper + thirds!.middle + thirds!.lower).toBeCloseTo(1, 9);
  });
});

describe('regionsOf()', () => {
  test.each([
    ['one corner is enough', ['2..', '.3.', '..4'], [{ pixels: 9, cells: [0, 4, 8] }]],
    ['the other corner too', ['..2', '.3.'], [{ pixels: 5, cells: [2, 4] }]],
    [
      'the end of a row does not touch the start of the next',
      ['..2', '...', '3..'],
      [
        { pixels: 2, cells: [2] },
        { pixels: 3, cells: [6] },
      ],
    ],
    [
      'nor that of the one below it',
      ['..1', '1..'],
      [
        { pixels: 1, cells: [2] },
        { pixels: 1, cells: [3] },
      ],
    ],
    ['two arms that meet further down', ['1.1', '1.1', '.1.'], [{ pixels: 5, cells: [0, 2, 3, 5, 7] }]],
    ['nothing', ['...'], []],
  ])('%s', (_, rows, expected) => {
    expect(regionsIn(rows)).toEqual(expected);
  });

  test('cells with less than is needed do not join others', () => {
    expect(regionsIn(['515'], 2)).toEqual([
      { pixels: 5, cells: [0] },
      { pixels: 5, cells: [2] },
    ]);
  });

  test('any picture: the same cells as by walking from neighbour to neighbour', () => {
    const picture = fc
      .integer({ min: 1, max: 9 })
      .chain((columns) =>
        fc.array(fc.stringMatching(new RegExp(`^[.13]{${columns}}$`)), { minLength: 1, maxLength: 9 }),
      );
    fc.assert(
      fc.property(picture, (rows) => {
        expect(regionsIn(rows)).toEqual(walked(rows));
      }),
      { numRuns: 500 },
    );
  });
});

function walked(rows: readonly string[]) {
  const columns = rows[0]!.length;
  const seen = new Set<string>();
  const walk = (x: number, y: number): number[] => {
    const sign = rows[y]?.[x] ?? '.';
    if (sign === '.' || seen.has(`${x} ${y}`)) return [];
    seen.add(`${x} ${y}`);
    const around = [-1, 0, 1].flatMap((dy) => [-1, 0, 1].flatMap((dx) => walk(x + dx, y + dy)));
    return [y * columns + x, ...around];
  };
  return rows
    .flatMap((row, y) => row.split('').map((_, x) => walk(x, y)))
    .filter((cells) => cells.length > 0)
    .map((cells) => ({
      pixels: cells.reduce((sum, cell) => sum + Number(rows.join('')[cell]), 0),
      cells: cells.toSorted((a, b) => a - b),
    }));
}

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
