import { planFourier } from './fourier.ts';
import type { Luma } from '../luma.ts';

/** A displacement of picture content, in pixels of the picture looked at; x to the right, y down. */
export interface Shift {
  readonly x: number;
  readonly y: number;
}

/** conj(A)·B of two tiles and their mean power, over all frequencies of a tile. */
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
// The lens and the codec leave little but noise above this, in cycles per pixel.
const highestFrequency = 0.2;

/** Prepares phase correlation between square tiles of `size` pixels, a power of two. */
export function planCorrelator(size: number): Correlator {
  const { transform } = planFourier(size);
  const window = Float64Array.from(
    { length: size },
    (_, i) => 0.5 - 0.5 * Math.cos((2 * Math.PI * (i + 0.5)) / size),
  );
  const lowPass = gaussianLowPass(size);
  const [re, im, real, imaginary, power] = Array.from({ length: 5 }, () => new Float64Array(size * size)) as [
    Float64Array,
    Float64Array,
    Float64Array,
    Float64Array,
    Float64Array,
  ];
  return {
    size,
    spectrum: (first, at, second, secondAt) => {
      copyTile(first, at, window, re);
      copyTile(second, secondAt, window, im);
      transform(re, im, 1);
      separate(size, re, im, { size, real, imaginary, power });
      return { size, real, imaginary, power };
    },
    peak: (spectrum, reach) => {
      for (let i = 0; i < re.length; i++) {
        const squared = spectrum.real[i]! ** 2 + spectrum.imaginary[i]! ** 2;
        const weight = squared === 0 ? 0 : lowPass[i]! / whitened(squared);
        re[i] = spectrum.real[i]! * weight;
        im[i] = spectrum.imaginary[i]! * weight;
      }
      transform(re, im, -1);
      return highest(size, re, reach);
    },
  };
}

/** Magnitude to the power 0.75, from its square: three roots take a quarter of the time of a general power. */
function whitened(squaredMagnitude: number): number {
  const root = Math.sqrt(Math.sqrt(squaredMagnitude));
  return root * Math.sqrt(root);
}

function copyTile(luma: Luma, at: Shift, window: Float64Array, into: Float64Array): void {
  const size = window.length;
  const { codes, width } = luma;
  for (let y = 0, i = 0; y < size; y++)
    for (let x = 0, from = (at.y + y) * width + at.x; x < size; x++) into[i++] = codes[from + x]!;
  let sum = 0;
  for (let i = 0; i < into.length; i++) sum += into[i]!;
  const mean = sum / (size * size);
  for (let y = 0, i = 0; y < size; y++)
    for (let x = 0; x < size; x++, i++) into[i] = (into[i]! - mean) * window[y]! * window[x]!;
}

// Both tiles are real, so one complex transform of A + iB holds both spectra.
function separate(size: number, re: Float64Array, im: Float64Array, out: CrossSpectrum): void {
  for (let y = 0; y < size; y++) {
    const mirrorRow = ((size - y) % size) * size;
    for (let x = 0; x < size; x++) {
      const i = y * size + x;
      const j = mirrorRow + ((size - x) % size);
      const ar = (re[i]! + re[j]!) / 2;
      const ai = (im[i]! - im[j]!) / 2;
      const br = (im[i]! + im[j]!) / 2;
      const bi = (re[j]! - re[i]!) / 2;
      out.real[i] = ar * br + ai * bi;
      out.imaginary[i] = ar * bi - ai * br;
      out.power[i] = (ar * ar + ai * ai + br * br + bi * bi) / 2;
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

/** Finds the part of a displacement below one pixel from the slope of the phase (Gauss-Newton, weighted). */
export function refineShift(spectrum: CrossSpectrum, start: Shift): Shift {
  let { x, y } = start;
  for (let round = 0; round < 5; round++) {
    const step = phaseSlopeStep(spectrum, { x, y });
    if (step === undefined) break;
    x -= step.x;
    y -= step.y;
    if (Math.hypot(step.x, step.y) < 0.001) break;
  }
  return { x, y };
}

function phaseSlopeStep({ size, real, imaginary }: CrossSpectrum, { x, y }: Shift): Shift | undefined {
  let [xx, xy, yy, xe, ye] = [0, 0, 0, 0, 0];
  eachFrequency(size, 0, (i, fx, fy) => {
    const phase = 2 * Math.PI * (fx * x + fy * y);
    const cos = Math.cos(phase);
    const sin = Math.sin(phase);
    const along = real[i]! * cos - imaginary[i]! * sin;
    if (along <= 0) return;
    const across = real[i]! * sin + imaginary[i]! * cos;
    // Strong frequencies count more, but not in proportion: one edge must not speak for the whole tile.
    const weight = along / Math.sqrt(Math.hypot(along, across));
    const error = Math.atan2(across, along) / (2 * Math.PI);
    xx += weight * fx * fx;
    xy += weight * fx * fy;
    yy += weight * fy * fy;
    xe += weight * fx * error;
    ye += weight * fy * error;
  });
  const determinant = xx * yy - xy * xy;
  // Structure in one direction only (a straight edge) leaves the motion along it open.
  if (!(determinant > 1e-3 * xx * yy)) return undefined;
  return { x: (yy * xe - xy * ye) / determinant, y: (xx * ye - xy * xe) / determinant };
}

/** How far two tiles agree once the displacement is undone: 1 the same picture, near 0 nothing in common. */
export function coherence({ size, real, imaginary, power }: CrossSpectrum, { x, y }: Shift): number {
  let agreeing = 0;
  let total = 0;
  eachFrequency(size, 0.03, (i, fx, fy) => {
    if (power[i] === 0) return;
    const phase = 2 * Math.PI * (fx * x + fy * y);
    const weight = 1 / Math.sqrt(power[i]!);
    agreeing += weight * (real[i]! * Math.cos(phase) - imaginary[i]! * Math.sin(phase));
    total += weight * power[i]!;
  });
  return total === 0 ? 0 : agreeing / total;
}

/** Visits one of each pair of mirrored frequencies between `lowest` and the highest that is trusted. */
function eachFrequency(
  size: number,
  lowest: number,
  visit: (index: number, fx: number, fy: number) => void,
): void {
  const reach = Math.floor(highestFrequency * size);
  for (let ky = 0; ky <= reach; ky++) {
    for (let kx = ky === 0 ? 1 : -reach; kx <= reach; kx++) {
      const distance = Math.hypot(kx, ky) / size;
      if (distance < lowest || distance > highestFrequency) continue;
      visit(ky * size + ((kx + size) % size), kx / size, ky / size);
    }
  }
}
