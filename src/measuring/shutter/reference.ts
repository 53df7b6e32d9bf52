import { bandCentre, bandCount, type TileSpectrum } from './cells.ts';
import { solve } from './normalEquations.ts';
import { tileSize } from './placement.ts';

// Detail that runs along the motion is not blurred by it: frequencies nearly at right angles to the motion tell what
// lens, sharpening and codec left of each radial band. The rest of the band is compared with them.

/** Widest distance along the motion that still counts as unblurred: in cycles per frame, and in bins of the tile. */
export const referenceCycles = 0.25;
export const referenceBins = 1.6;
const leastFrequencies = 3;
/** A band whose unblurred detail disagrees between the frames (noise, codec) is left out. */
const leastAgreement = 0.35;
const highestBandFrequency = 0.36;

/** Unblurred cross power of each band; undefined where it cannot be trusted. */
export function referenceOf({ cells, levelPixelsPerFrame }: TileSpectrum): readonly (number | undefined)[] {
  const limit = Math.max(referenceCycles / levelPixelsPerFrame, referenceBins / tileSize);
  const [count, cross, power] = [0, 0, 0].map(() => new Float64Array(bandCount)) as [
    Float64Array,
    Float64Array,
    Float64Array,
  ];
  for (let i = 0; i < cells.band.length; i++) {
    if (cells.along[i]! >= limit) continue;
    const band = cells.band[i]!;
    count[band]! += cells.count[i]!;
    cross[band]! += cells.count[i]! * cells.cross[i]!;
    power[band]! += cells.count[i]! * cells.power[i]!;
  }
  const known = (band: number) => count[band]! >= leastFrequencies && cross[band]! > 0;
  const smooth = smoothed(count, cross, known);
  return Array.from({ length: bandCount }, (_, band) => {
    if (!known(band) || cross[band]! <= leastAgreement * power[band]!) return undefined;
    if (bandCentre(band) > highestBandFrequency) return undefined;
    const mean = cross[band]! / count[band]!;
    return smooth === undefined ? mean : Math.sqrt(mean * smooth(band));
  });
}

/** A parabola through the bands in logarithms, weighted by how many frequencies each rests on. */
function smoothed(
  count: Float64Array,
  cross: Float64Array,
  known: (band: number) => boolean,
): ((band: number) => number) | undefined {
  const bands = [...count.keys()].filter(known);
  if (bands.length < 4) return undefined;
  const matrix = Array.from({ length: 3 }, () => new Float64Array(4));
  const powers = (band: number) => {
    const x = Math.log(bandCentre(band)) + 2;
    return [1, x, x * x] as const;
  };
  for (const band of bands) {
    const x = powers(band);
    const weight = Math.min(count[band]!, 60);
    for (let i = 0; i < 3; i++) {
      for (let j = 0; j < 3; j++) matrix[i]![j]! += weight * x[i]! * x[j]!;
      matrix[i]![3]! += weight * x[i]! * Math.log(cross[band]! / count[band]!);
    }
  }
  const curve = solve(matrix);
  return (band) => Math.exp(powers(band).reduce((sum, x, i) => sum + curve[i]! * x, 0));
}
