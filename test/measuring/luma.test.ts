import { expect, test } from 'vitest';
import { halveToCodes, shrinkLuma } from '../../src/measuring/luma.ts';

const width = 6;
const height = 5;
const codes = Uint8Array.from({ length: width * height }, (_, i) => (i * 37) % 256);

test('halveToCodes() rounds the mean of each block of four, and leaves out what does not fill one', () => {
  const mean = (x: number, y: number): number =>
    [0, 1, width, width + 1].reduce((sum, step) => sum + codes[y * width + x + step]!, 0) / 4;
  const { width: columns, height: rows, codes: halved } = halveToCodes({ width, height, codes });
  expect([columns, rows]).toEqual([3, 2]);
  const expected = [0, 2].flatMap((y) => [0, 2, 4].map((x) => Math.round(mean(x, y))));
  expect([...halved]).toEqual(expected);
});

test('halveToCodes() writes into what it is given and nowhere else', () => {
  const into = new Uint8Array(6);
  const { codes: halved } = halveToCodes({ width, height, codes }, into);
  expect(halved).toBe(into);
  expect([...halved]).toEqual([...halveToCodes({ width, height, codes }).codes]);
});

test('halveToCodes() differs from the mean by half a code at most', () => {
  const exact = shrinkLuma({ width, height, codes }, 2).codes;
  const { codes: halved } = halveToCodes({ width, height, codes });
  for (const [i, code] of halved.entries()) expect(Math.abs(code - exact[i]!)).toBeLessThanOrEqual(0.5);
});
