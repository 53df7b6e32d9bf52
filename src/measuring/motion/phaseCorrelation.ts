import type { Luma } from '../luma.ts';
import { planFourier } from './fourier.ts';

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

// Phase correlation: Kuglin and Hines, 1975. Whitening to the power 3/4 instead of 1 and a low pass keep the peak
// broad enough for shifts between pixels and let strong structure outvote codec noise.
const lowPassSigma = 0.18;

/** Prepares phase correlation between square tiles of `size` pixels, a power of two. */
export function planCorrelator(size: number) {
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
    /** The spectrum is overwritten by the next call. */
    spectrum: (first: Luma, at: Shift, second: Luma, secondAt: Shift): CrossSpectrum => {
      copyTile(first, at, window, re);
      copyTile(second, secondAt, window, im);
      forward(re, im);
      separate(re, im, spectrum);
      return spectrum;
    },
    /** Whole-pixel displacement from the first tile to the second, no farther than `reach` on either axis. */
    peak: (of: CrossSpectrum, reach: number): Peak => {
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

function phaseSlopeStep({ size, real, imaginary }: CrossSpectrum, shift: Shift): Shift | undefined {
  const { places, across, down, cosines, sines } = turnedBack(size, shift);
  let [xx, xy, yy, xe, ye] = [0, 0, 0, 0, 0];
  for (let n = 0; n < places.length; n++) {
    const at = places[n]!;
    const along = real[at]! * cosines[n]! - imaginary[at]! * sines[n]!;
    if (along <= 0) continue;
    const quadrature = real[at]! * sines[n]! + imaginary[at]! * cosines[n]!;
    // Strong frequencies count more, but not in proportion: one edge must not speak for the whole tile.
    const weight = along / Math.sqrt(Math.sqrt(along * along + quadrature * quadrature));
    const error = Math.atan2(quadrature, along) / (2 * Math.PI);
    const fx = across[n]! / size;
    const fy = down[n]! / size;
    xx += weight * fx * fx;
    xy += weight * fx * fy;
    yy += weight * fy * fy;
    xe += weight * fx * error;
    ye += weight * fy * error;
  }
  const determinant = xx * yy - xy * xy;
  // Structure in one direction only (a straight edge) leaves the motion along it open.
  if (!(determinant > 1e-3 * xx * yy)) return undefined;
  return { x: (yy * xe - xy * ye) / determinant, y: (xx * ye - xy * xe) / determinant };
}

/** How far two tiles agree once the displacement is undone: 1 the same picture, near 0 nothing in common. */
export function coherence({ size, real, imaginary, power }: CrossSpectrum, shift: Shift): number {
  const { places, firstFine, cosines, sines } = turnedBack(size, shift);
  let agreeing = 0;
  let total = 0;
  for (let n = firstFine; n < places.length; n++) {
    const at = places[n]!;
    if (power[at] === 0) continue;
    const weight = 1 / Math.sqrt(power[at]!);
    agreeing += weight * (real[at]! * cosines[n]! - imaginary[at]! * sines[n]!);
    total += weight * power[at]!;
  }
  return total === 0 ? 0 : agreeing / total;
}

// The lens and the codec leave little but noise above this, in cycles per pixel.
const highestFrequency = 0.2;
/** Below it, uneven light counts more than content. */
const lowestFine = 0.03;

/** One of each pair of mirrored frequencies up to the highest that is trusted, from coarse to fine. */
interface Frequencies {
  /** Where they stand in a spectrum. */
  readonly places: Int32Array;
  /** Cycles per tile. */
  readonly across: Int16Array;
  readonly down: Int16Array;
  readonly reach: number;
  readonly firstFine: number;
  /** What undoes a displacement; overwritten by the next. */
  readonly cosines: Float64Array;
  readonly sines: Float64Array;
}

/** The frequencies with what undoes a displacement at each. */
function turnedBack(size: number, { x, y }: Shift): Frequencies {
  const frequencies = frequenciesOf(size);
  const { across, down, reach, cosines, sines } = frequencies;
  const turn = (2 * Math.PI) / size;
  const [cosX, sinX] = turns(reach, turn * x);
  const [cosY, sinY] = turns(reach, turn * y);
  for (let n = 0; n < across.length; n++) {
    const i = across[n]! + reach;
    const j = down[n]! + reach;
    cosines[n] = cosX[i]! * cosY[j]! - sinX[i]! * sinY[j]!;
    sines[n] = sinX[i]! * cosY[j]! + cosX[i]! * sinY[j]!;
  }
  return frequencies;
}

/** Cosine and sine of -reach to reach times an angle. */
function turns(reach: number, radians: number): readonly [cos: Float64Array, sin: Float64Array] {
  const [cos, sin] = [new Float64Array(2 * reach + 1), new Float64Array(2 * reach + 1)];
  for (let k = -reach; k <= reach; k++) {
    cos[k + reach] = Math.cos(k * radians);
    sin[k + reach] = Math.sin(k * radians);
  }
  return [cos, sin];
}

const frequenciesBySize = new Map<number, Frequencies>();

function frequenciesOf(size: number): Frequencies {
  const cached = frequenciesBySize.get(size);
  if (cached !== undefined) return cached;
  const reach = Math.floor(highestFrequency * size);
  const candidates: { kx: number; ky: number; distance: number }[] = [];
  for (let ky = 0; ky <= reach; ky++)
    for (let kx = ky === 0 ? 1 : -reach; kx <= reach; kx++)
      candidates.push({ kx, ky, distance: Math.hypot(kx, ky) / size });
  const trusted = candidates
    .filter(({ distance }) => distance <= highestFrequency)
    .sort((a, b) => a.distance - b.distance);
  const frequencies = {
    places: Int32Array.from(trusted, ({ kx, ky }) => ky * size + ((kx + size) % size)),
    across: Int16Array.from(trusted, ({ kx }) => kx),
    down: Int16Array.from(trusted, ({ ky }) => ky),
    reach,
    firstFine: trusted.findIndex(({ distance }) => distance >= lowestFine),
    cosines: new Float64Array(trusted.length),
    sines: new Float64Array(trusted.length),
  };
  frequenciesBySize.set(size, frequencies);
  return frequencies;
}
