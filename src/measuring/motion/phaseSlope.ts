import type { CrossSpectrum, Shift } from './crossSpectrum.ts';

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
    const aside = real[at]! * sines[n]! + imaginary[at]! * cosines[n]!;
    // Strong frequencies count more, but not in proportion: one edge must not speak for the whole tile.
    const weight = along / Math.sqrt(Math.sqrt(along * along + aside * aside));
    const error = Math.atan2(aside, along) / (2 * Math.PI);
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

const known = new Map<number, Frequencies>();

function frequenciesOf(size: number): Frequencies {
  const before = known.get(size);
  if (before !== undefined) return before;
  const reach = Math.floor(highestFrequency * size);
  const found: { kx: number; ky: number; distance: number }[] = [];
  for (let ky = 0; ky <= reach; ky++)
    for (let kx = ky === 0 ? 1 : -reach; kx <= reach; kx++)
      found.push({ kx, ky, distance: Math.hypot(kx, ky) / size });
  const trusted = found
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
  known.set(size, frequencies);
  return frequencies;
}
