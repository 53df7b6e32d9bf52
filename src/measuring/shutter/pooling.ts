import type { TileSpectrum } from './cells.ts';
import { coherentFloor } from './coherentFloor.ts';
import { referenceOf } from './reference.ts';

/** What is left of the detail at one frequency along the motion, over many tiles. */
export interface CurvePoint {
  /** q: frequency along the motion × displacement between frames. */
  readonly cyclesPerFrame: number;
  /** Cross power over that of unblurred detail of the same fineness: 1 unblurred, 0 a zero of the exposure. */
  readonly attenuation: number;
  /** How many frequencies it rests on. */
  readonly weight: number;
  readonly cosSquared: number;
  /** The most that grain carried along by the codec can add to `attenuation`. */
  readonly floorShare: number;
  /** Which fifth of the angles between frequency and motion it belongs to. */
  readonly sector: number;
}

/** One tile's attenuations, summed per sector and step of q. */
export interface TileRatios {
  readonly sum: Float64Array;
  readonly weight: Float64Array;
  readonly cosSquared: Float64Array;
  readonly floorShare: Float64Array;
  readonly levelPixelsPerFrame: number;
}

export const sectorCount = 5;
const stepCount = 88;
const lowestCycles = 0.12;
export const stepRatio = 1.065;
/** One strong line must not outvote the rest of its step. */
const highestRatio = 6;
const mostWeightOfTile = 40;
const leastWeight = 30;
/** Share of the weight that is cut off at either end before the mean: single tiles with strong lines say much. */
const trimmedShare = 0.25;

export function ratiosOf(tile: TileSpectrum): TileRatios {
  const { cells, levelPixelsPerFrame } = tile;
  const reference = referenceOf(tile);
  const floor = coherentFloor(tile);
  const [sum, weight, cosSquared, floorShare] = [0, 0, 0, 0].map(
    () => new Float64Array(sectorCount * stepCount),
  ) as [Float64Array, Float64Array, Float64Array, Float64Array];
  for (let i = 0; i < cells.band.length; i++) {
    const unblurred = reference[cells.band[i]!];
    const step = stepOf(cells.along[i]! * levelPixelsPerFrame);
    if (unblurred === undefined || step === undefined) continue;
    const angle = Math.acos(Math.min(1, Math.sqrt(cells.cosSquared[i]!))) / (Math.PI / 2);
    const at = Math.min(sectorCount - 1, Math.floor(angle * sectorCount)) * stepCount + step;
    const count = cells.count[i]!;
    sum[at]! += count * Math.min(highestRatio, cells.cross[i]! / unblurred);
    weight[at]! += count;
    cosSquared[at]! += count * cells.cosSquared[i]!;
    floorShare[at]! += count * Math.min(1, floor / unblurred);
  }
  return { sum, weight, cosSquared, floorShare, levelPixelsPerFrame };
}

function stepOf(cycles: number): number | undefined {
  const step = Math.floor(Math.log(cycles / lowestCycles) / Math.log(stepRatio));
  return step >= 0 && step < stepCount ? step : undefined;
}

/** One curve of all tiles, the sectors together or apart. */
export function pool(tiles: readonly TileRatios[], sectors: 'together' | 'apart'): readonly CurvePoint[] {
  const points: CurvePoint[] = [];
  const groups =
    sectors === 'apart'
      ? Array.from({ length: sectorCount }, (_, sector) => [sector])
      : [Array.from({ length: sectorCount }, (_, sector) => sector)];
  groups.forEach((group, sector) => {
    for (let step = 0; step < stepCount; step++) {
      const point = poolStep(tiles, group, step);
      if (point !== undefined) points.push({ ...point, sector });
    }
  });
  return points;
}

function poolStep(
  tiles: readonly TileRatios[],
  sectors: readonly number[],
  step: number,
): Omit<CurvePoint, 'sector'> | undefined {
  const votes: { value: number; weight: number }[] = [];
  let total = 0;
  let [cosSquared, floorShare] = [0, 0];
  for (const tile of tiles) {
    let [sum, weight] = [0, 0];
    for (const sector of sectors) {
      sum += tile.sum[sector * stepCount + step]!;
      weight += tile.weight[sector * stepCount + step]!;
      cosSquared += tile.cosSquared[sector * stepCount + step]!;
      floorShare += tile.floorShare[sector * stepCount + step]!;
    }
    if (weight === 0) continue;
    total += weight;
    votes.push({ value: sum / weight, weight: Math.min(mostWeightOfTile, weight) });
  }
  if (total <= leastWeight) return undefined;
  return {
    cyclesPerFrame: lowestCycles * stepRatio ** (step + 0.5),
    attenuation: trimmedMean(votes),
    weight: total,
    cosSquared: cosSquared / total,
    floorShare: floorShare / total,
  };
}

function trimmedMean(votes: { value: number; weight: number }[]): number {
  votes.sort((a, b) => a.value - b.value);
  const total = votes.reduce((sum, vote) => sum + vote.weight, 0);
  const [low, high] = [trimmedShare * total, (1 - trimmedShare) * total];
  let [passed, sum, kept] = [0, 0, 0];
  for (const { value, weight } of votes) {
    const part = Math.min(high, passed + weight) - Math.max(low, passed);
    if (part > 0) {
      sum += part * value;
      kept += part;
    }
    passed += weight;
  }
  return sum / kept;
}
