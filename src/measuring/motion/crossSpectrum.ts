import { planFourier } from './fourier.ts';
import type { Luma } from '../luma.ts';

/** A displacement of picture content, in pixels of the picture looked at; x to the right, y down. */
export interface Shift {
  readonly x: number;
  readonly y: number;
}

/**
 * conj(A)·B of two tiles and their mean power, row by row, a row as long as the tile. The rows from 0 to size/2 are
 * there, cycles per tile downwards; the others mirror them, and what is in their place means nothing.
 */
export interface CrossSpectrum {
  readonly size: number;
  readonly real: Float64Array;
  readonly imaginary: Float64Array;
  readonly power: Float64Array;
}

interface Peak extends Shift {
  /** Height over the highest value elsewhere; near 1 where the answer is ambiguous. */
  readonly distinctness: number;
}

export interface Correlator {
  readonly size: number;
  /** The spectrum is overwritten by the next call. */
  readonly spectrum: (first: Luma, at: Shift, second: Luma, secondAt: Shift) => CrossSpectrum;
  /** Whole-pixel displacement from the first tile to the second, no farther than `reach` on either axis. */
  readonly peak: (spectrum: CrossSpectrum, reach: number) => Peak;
}

// Phase correlation: Kuglin and Hines, 1975. Whitening to the power 3/4 instead of 1 and a low pass keep the peak
// broad enough for shifts between pixels and let strong structure outvote codec noise.
const lowPassSigma = 0.18;

/** Prepares phase correlation between square tiles of `size` pixels, a power of two. */
export function planCorrelator(size: number): Correlator {
  const { forward, backward } = planFourier(size);
  const window = Float64Array.from(
    { length: size },
    (_, i) => 0.5 - 0.5 * Math.cos((2 * Math.PI * (i + 0.5)) / size),
  );
  const lowPass = gaussianLowPass(size);
  const plane = (): Float64Array => new Float64Array(size * size);
  const [re, im, surface] = [plane(), plane(), plane()];
  const spectrum: CrossSpectrum = { size, real: plane(), imaginary: plane(), power: plane() };
  return {
    size,
    spectrum: (first, at, second, secondAt) => {
      copyTile(first, at, window, re);
      copyTile(second, secondAt, window, im);
      forward(re, im);
      separate(re, im, spectrum);
      return spectrum;
    },
    peak: (of, reach) => {
      whiten(of, lowPass, { real: re, imaginary: im });
      backward({ real: re, imaginary: im }, reach, surface);
      return highest(size, surface, reach);
    },
  };
}

/** Gives every frequency in columns 0 to size/2 nearly the same say. */
function whiten(
  { size, real, imaginary }: CrossSpectrum,
  lowPass: Float64Array,
  into: { readonly real: Float64Array; readonly imaginary: Float64Array },
): void {
  const half = size / 2;
  for (let y = 0; y <= half; y++) {
    // The columns right of the middle mirror the rows below it.
    const mirrorRow = ((size - y) % size) * size;
    for (let x = 0, i = y * size; x < size; x++, i++) {
      const squared = real[i]! * real[i]! + imaginary[i]! * imaginary[i]!;
      const weight = squared === 0 ? 0 : lowPass[i]! / whitened(squared);
      if (x <= half) {
        into.real[i] = real[i]! * weight;
        into.imaginary[i] = imaginary[i]! * weight;
      }
      if (x < half && x > 0) continue;
      const mirrored = mirrorRow + ((size - x) % size);
      into.real[mirrored] = real[i]! * weight;
      into.imaginary[mirrored] = -imaginary[i]! * weight;
    }
  }
}

/** Magnitude to the power 0.75, from its square: three roots take a quarter of the time of a general power. */
function whitened(squaredMagnitude: number): number {
  const root = Math.sqrt(Math.sqrt(squaredMagnitude));
  return root * Math.sqrt(root);
}

function copyTile({ codes, width }: Luma, at: Shift, window: Float64Array, into: Float64Array): void {
  const size = window.length;
  let sum = 0;
  for (let y = 0, i = 0; y < size; y++)
    for (let x = 0, from = (at.y + y) * width + at.x; x < size; x++, i++) {
      const code = codes[from + x]!;
      into[i] = code;
      sum += code;
    }
  const mean = sum / (size * size);
  for (let y = 0, i = 0; y < size; y++)
    for (let x = 0, across = window[y]!; x < size; x++, i++)
      into[i] = (into[i]! - mean) * across * window[x]!;
}

// Both tiles are real, so one complex transform of A + iB holds both spectra.
function separate(re: Float64Array, im: Float64Array, { size, real, imaginary, power }: CrossSpectrum): void {
  for (let y = 0; y <= size / 2; y++) {
    const mirrorRow = ((size - y) % size) * size;
    for (let x = 0; x < size; x++) {
      const i = y * size + x;
      const j = mirrorRow + ((size - x) % size);
      const ar = (re[i]! + re[j]!) / 2;
      const ai = (im[i]! - im[j]!) / 2;
      const br = (im[i]! + im[j]!) / 2;
      const bi = (re[j]! - re[i]!) / 2;
      real[i] = ar * br + ai * bi;
      imaginary[i] = ar * bi - ai * br;
      power[i] = (ar * ar + ai * ai + br * br + bi * bi) / 2;
    }
  }
}

function gaussianLowPass(size: number): Float64Array {
  const weights = new Float64Array(size * size);
  for (let i = 0; i < weights.length; i++) {
    const fx = frequency(i % size, size);
    const fy = frequency(Math.floor(i / size), size);
    weights[i] = Math.exp(-(fx * fx + fy * fy) / (2 * lowPassSigma ** 2));
  }
  weights[0] = 0;
  return weights;
}

function frequency(index: number, size: number): number {
  return (index < size / 2 ? index : index - size) / size;
}

function highest(size: number, surface: Float64Array, reach: number): Peak {
  const wrap = size - 1; // A power of two less one: negative places come round.
  let [bestX, bestY, best] = [0, 0, -Infinity];
  for (let y = -reach; y <= reach; y++)
    for (let x = -reach, row = (y & wrap) * size; x <= reach; x++)
      if (surface[row + (x & wrap)]! > best) [bestX, bestY, best] = [x, y, surface[row + (x & wrap)]!];
  let second = 0;
  for (let y = -reach; y <= reach; y++) {
    const isNear = Math.abs(y - bestY) < 4;
    for (let x = -reach, row = (y & wrap) * size; x <= reach; x++) {
      if (isNear && Math.abs(x - bestX) < 4) continue;
      if (surface[row + (x & wrap)]! > second) second = surface[row + (x & wrap)]!;
    }
  }
  return { x: bestX, y: bestY, distinctness: second > 0 ? best / second : Infinity };
}
