import { describe, expect, test } from 'vitest';
import { planFourier } from '../../../src/measuring/motion/fourier.ts';
import { randomNumbers } from '../texture.ts';

interface Complex {
  readonly real: Float64Array;
  readonly imaginary: Float64Array;
}

/** The sum that the transform is defined by, term by term. */
function summed(size: number, { real, imaginary }: Complex, sign: 1 | -1): Complex {
  const out = { real: new Float64Array(size * size), imaginary: new Float64Array(size * size) };
  for (let ky = 0; ky < size; ky++)
    for (let kx = 0; kx < size; kx++)
      for (let y = 0; y < size; y++)
        for (let x = 0; x < size; x++) {
          const angle = (sign * 2 * Math.PI * (kx * x + ky * y)) / size;
          const [from, to] = [y * size + x, ky * size + kx];
          out.real[to]! += real[from]! * Math.cos(angle) - imaginary[from]! * Math.sin(angle);
          out.imaginary[to]! += real[from]! * Math.sin(angle) + imaginary[from]! * Math.cos(angle);
        }
  return out;
}

function noise(size: number, seed: number): Float64Array {
  const random = randomNumbers(seed);
  return Float64Array.from({ length: size * size }, () => random() - 0.5);
}

function farthest(a: ArrayLike<number>, b: ArrayLike<number>): number {
  return Math.max(...Array.from(a, (value, i) => Math.abs(value - b[i]!)));
}

describe.each([2, 4, 8, 16, 32])('planFourier(%i)', (size) => {
  const given = { real: noise(size, 1), imaginary: noise(size, 2) };

  test('forward() is the sum that defines the transform', () => {
    const truth = summed(size, given, -1);
    const real = given.real.slice();
    const imaginary = given.imaginary.slice();
    planFourier(size).forward(real, imaginary);
    expect(farthest(real, truth.real)).toBeLessThan(1e-10);
    expect(farthest(imaginary, truth.imaginary)).toBeLessThan(1e-10);
  });

  test('backward() gives a real picture back from the left half of its spectrum, and only the rows asked for', () => {
    const spectrum = summed(size, { real: given.real, imaginary: new Float64Array(size * size) }, -1);
    for (let i = 0; i < size * size; i++)
      if (i % size > size / 2) spectrum.real[i] = spectrum.imaginary[i] = NaN;
    const picture = new Float64Array(size * size).fill(NaN);
    const reach = Math.floor(size / 4);
    planFourier(size).backward(spectrum, reach, picture);
    const rows = Array.from({ length: size }, (_, y) => y);
    const made = rows.filter((y) => y <= reach || y >= size - reach);
    for (const y of rows) {
      const row = picture.subarray(y * size, (y + 1) * size);
      if (!made.includes(y)) expect(row.every(Number.isNaN)).toBe(true);
      else {
        const truth = given.real.subarray(y * size, (y + 1) * size).map((value) => value * size * size);
        expect(farthest(row, truth)).toBeLessThan(1e-9);
      }
    }
  });
});
