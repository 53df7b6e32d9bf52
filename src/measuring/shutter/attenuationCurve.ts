import { solveInPlace } from '../../domain/linearAlgebra.ts';
import { tileSize } from './framePair.ts';
import { bandCentre, bandCount, type TileSpectrum } from './tileSpectra.ts';

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
  /** How many tiles say so, by their weights, and the standard error of the logarithm as they differ. */
  readonly tiles: number;
  readonly errorOfLog: number;
  /** How far the frames agree, [0, 1], on the unblurred detail it was compared with. */
  readonly agreement: number;
  /** Which fifth of the angles between frequency and motion it belongs to. */
  readonly sector: number;
}

/** One tile's attenuations, summed per sector and step of q. */
export interface TileRatios {
  readonly sum: Float64Array;
  readonly weight: Float64Array;
  readonly cosSquared: Float64Array;
  readonly floorShare: Float64Array;
  readonly agreement: Float64Array;
  readonly levelPixelsPerFrame: number;
}

export const sectorCount = 5;
const stepCount = 88;
const lowestCycles = 0.12;
const stepRatio = 1.065;
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
  const [sum, weight, cosSquared, floorShare, agreement] = Array.from(
    { length: 5 },
    () => new Float64Array(sectorCount * stepCount),
  ) as [Float64Array, Float64Array, Float64Array, Float64Array, Float64Array];
  for (let i = 0; i < cells.band.length; i++) {
    const unblurred = reference[cells.band[i]!];
    const step = stepOf(cells.along[i]! * levelPixelsPerFrame);
    if (unblurred === undefined || step === undefined) continue;
    const angle = Math.acos(Math.min(1, Math.sqrt(cells.cosSquared[i]!))) / (Math.PI / 2);
    const at = Math.min(sectorCount - 1, Math.floor(angle * sectorCount)) * stepCount + step;
    const count = cells.count[i]!;
    sum[at]! += count * Math.min(highestRatio, cells.cross[i]! / unblurred.power);
    weight[at]! += count;
    cosSquared[at]! += count * cells.cosSquared[i]!;
    floorShare[at]! += count * Math.min(1, floor / unblurred.power);
    agreement[at]! += count * unblurred.agreement;
  }
  return { sum, weight, cosSquared, floorShare, agreement, levelPixelsPerFrame };
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
  const votes: Vote[] = [];
  let total = 0;
  let [cosSquared, floorShare, agreement] = [0, 0, 0];
  for (const tile of tiles) {
    let [sum, weight] = [0, 0];
    for (const sector of sectors) {
      sum += tile.sum[sector * stepCount + step]!;
      weight += tile.weight[sector * stepCount + step]!;
      cosSquared += tile.cosSquared[sector * stepCount + step]!;
      floorShare += tile.floorShare[sector * stepCount + step]!;
      agreement += tile.agreement[sector * stepCount + step]!;
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
    agreement: agreement / total,
    ...spreadOf(votes),
  };
}

interface Vote {
  readonly value: number;
  readonly weight: number;
}

/** Keeps the logarithm of what is next to nothing from counting as far away. */
const spreadFloor = 0.03;
const mostVariance = 1.5;
/** What is believed of the scatter of tiles beforehand, as of so many tiles: few that agree by chance prove little. */
const usualVariance = 0.6 ** 2;
const usualTiles = 4;
/** A trimmed mean of normal deviates scatters by so much more than the mean of all. */
const trimmedVariance = 1.3;

function spreadOf(votes: readonly Vote[]): Pick<CurvePoint, 'tiles' | 'errorOfLog'> {
  let [total, squares, sum, sumSquared] = [0, 0, 0, 0];
  for (const { value, weight } of votes) {
    const log = Math.log(Math.max(0, value) + spreadFloor);
    total += weight;
    squares += weight * weight;
    sum += weight * log;
    sumSquared += weight * log * log;
  }
  const tiles = total ** 2 / squares;
  const variance = Math.min(mostVariance, Math.max(0, sumSquared / total - (sum / total) ** 2));
  const pooled = (variance * tiles + usualVariance * usualTiles) / (tiles + usualTiles);
  return { tiles, errorOfLog: Math.sqrt((trimmedVariance * pooled) / tiles) };
}

function trimmedMean(votes: Vote[]): number {
  votes.sort((a, b) => a.value - b.value);
  const total = votes.reduce((sum, vote) => sum + vote.weight, 0);
  const [low, high] = [trimmedShare * total, (1 - trimmedShare) * total];
  let [passed, sum, counted] = [0, 0, 0];
  for (const { value, weight } of votes) {
    const part = Math.min(high, passed + weight) - Math.max(low, passed);
    if (part > 0) {
      sum += part * value;
      counted += part;
    }
    passed += weight;
  }
  return sum / counted;
}

// Detail that runs along the motion is not blurred by it: frequencies nearly at right angles to the motion tell what
// lens, sharpening and codec left of each radial band. The rest of the band is compared with them.

/** Widest distance along the motion that still counts as unblurred: in cycles per frame, and in bins of the tile. */
const referenceCycles = 0.25;
const referenceBins = 1.6;
const leastFrequencies = 3;
/** A band whose unblurred detail disagrees between the frames (noise, codec) is left out. */
const leastAgreement = 0.35;
const highestBandFrequency = 0.36;

interface Reference {
  readonly power: number;
  readonly agreement: number;
}

/** Unblurred cross power of each band, and how far the frames agree on it; undefined where it cannot be trusted. */
function referenceOf({ cells, levelPixelsPerFrame }: TileSpectrum): readonly (Reference | undefined)[] {
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
  const isReliable = (band: number) => count[band]! >= leastFrequencies && cross[band]! > 0;
  const smooth = smoothed(count, cross, isReliable);
  return Array.from({ length: bandCount }, (_, band) => {
    if (!isReliable(band) || cross[band]! <= leastAgreement * power[band]!) return undefined;
    if (bandCentre(band) > highestBandFrequency) return undefined;
    const mean = cross[band]! / count[band]!;
    const agreement = Math.min(1, cross[band]! / power[band]!);
    return { power: smooth === undefined ? mean : Math.sqrt(mean * smooth(band)), agreement };
  });
}

/** A parabola through the bands in logarithms, weighted by how many frequencies each rests on. */
function smoothed(
  count: Float64Array,
  cross: Float64Array,
  isReliable: (band: number) => boolean,
): ((band: number) => number) | undefined {
  const bands = [...count.keys()].filter(isReliable);
  if (bands.length < 4) return undefined;
  const rows = Array.from({ length: 3 }, () => new Float64Array(4));
  const powers = (band: number) => {
    const x = Math.log(bandCentre(band)) + 2;
    return [1, x, x * x] as const;
  };
  for (const band of bands) {
    const x = powers(band);
    const weight = Math.min(count[band]!, 60);
    for (let i = 0; i < 3; i++) {
      for (let j = 0; j < 3; j++) rows[i]![j]! += weight * x[i]! * x[j]!;
      rows[i]![3]! += weight * x[i]! * Math.log(cross[band]! / count[band]!);
    }
  }
  const curve = solveInPlace(rows);
  return (band) => Math.exp(powers(band).reduce((sum, x, i) => sum + curve[i]! * x, 0));
}

// A codec that predicts a frame from the one before carries grain and rounding along with the content, so they do not
// fall out of the cross spectrum. They are about equally strong at all frequencies; what is left at the finest ones
// along the motion, where blur and lens leave least, is therefore the most they can be.

const lowestGrainFrequency = 0.33;
const leastGrainCosSquared = 0.5;

/** Upper bound on the cross power that is no scene detail, per frequency. */
function coherentFloor({ cells }: TileSpectrum): number {
  let [sum, count] = [0, 0];
  for (let i = 0; i < cells.band.length; i++) {
    if (bandCentre(cells.band[i]!) < lowestGrainFrequency || cells.cosSquared[i]! < leastGrainCosSquared)
      continue;
    sum += cells.count[i]! * cells.cross[i]!;
    count += cells.count[i]!;
  }
  return count === 0 ? 0 : Math.max(0, sum / count);
}

/** sin²(πx) / (πx)²: the share of power, [0, 1], that an exposure of even strength leaves at x cycles per exposure. */
function sincSquared(x: number): number {
  if (Math.abs(x) < 1e-6) return 1;
  const angle = Math.PI * x;
  return (Math.sin(angle) / angle) ** 2;
}

/** Attenuation by a box-shaped exposure as the tiles show it: smeared by their window and by the step of q. */
export function boxAttenuation(
  openFraction: number,
  cyclesPerFrame: number,
  levelPixelsPerFrame: number,
): number {
  // Centre and ends of a step of q.
  const spread = (stepRatio - 1) / 3;
  let sum = 0;
  for (const offset of [-spread, 0, spread])
    sum += windowed(openFraction, cyclesPerFrame * (1 + offset), levelPixelsPerFrame / tileSize);
  return sum / 3;
}

/** Mean attenuation of what was taken for unblurred: the reference itself is a little blurred. */
export function referenceAttenuation(openFraction: number, levelPixelsPerFrame: number): number {
  const bin = levelPixelsPerFrame / tileSize;
  const limit = Math.max(referenceCycles, referenceBins * bin);
  let sum = 0;
  for (let i = 0; i < 6; i++) sum += windowed(openFraction, (limit * (i + 0.5)) / 6, bin);
  return sum / 6;
}

// A Hann window spreads power over the neighbouring frequencies: 2/3 stays, 1/6 goes to either side.
function windowed(openFraction: number, cycles: number, bin: number): number {
  const neighbours =
    sincSquared(openFraction * (cycles + bin)) + sincSquared(openFraction * Math.abs(cycles - bin));
  return (2 / 3) * sincSquared(openFraction * cycles) + neighbours / 6;
}
