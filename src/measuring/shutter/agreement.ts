import { quantile } from '../../domain/statistics.ts';
import type { TileSpectrum } from './cells.ts';
import { fitOpening } from './openingFit.ts';
import type { TextureModel } from './textureDesign.ts';
import type { TileRatios } from './pooling.ts';
import { posteriorOf } from './posterior.ts';
import type { PartialAngle } from './shutterEstimate.ts';

/** A tile with its ratios, which every fit it takes part in uses again. */
export interface PreparedTile {
  readonly tile: TileSpectrum;
  readonly ratios: TileRatios;
}

// One exposure gives one angle. Parts of the tiles that differ in what could deceive (speed, time, place) are
// therefore fitted by themselves: texture that imitates blur has a size in pixels and moves with the speed band.

/** Speeds that differ by less than this tell nothing apart. */
const leastSpeedRatio = 1.35;
const threeBandsRatio = 2.2;
/** Intervals of two parts farther apart than this contradict each other. */
const toleratedGapStops = 0.1;

export function partialAngles(tiles: readonly PreparedTile[], model: TextureModel): readonly PartialAngle[] {
  const bySpeed = [...tiles].sort((a, b) => a.tile.levelPixelsPerFrame - b.tile.levelPixelsPerFrame);
  const byTime = [...tiles].sort((a, b) => a.tile.pairIndex - b.tile.pairIndex);
  const lastPair = byTime[byTime.length - 1]?.tile.pairIndex ?? 0;
  const early = byTime.filter(({ tile }) => tile.pairIndex <= (lastPair - 1) / 2);
  const late = byTime.filter(({ tile }) => tile.pairIndex >= (lastPair + 1) / 2);
  return [
    ...split(bySpeed, bandCountFor(bySpeed)).map((part) => angleOf('speed-band', part, model)),
    ...[early, late].map((part) => angleOf('window', part, model)),
    ...[0, 1].map((odd) =>
      angleOf(
        'half',
        byTime.filter((_, i) => i % 2 === odd),
        model,
      ),
    ),
  ].filter((part) => part !== undefined);
}

function bandCountFor(bySpeed: readonly PreparedTile[]): number {
  const speeds = bySpeed.map(({ tile }) => tile.levelPixelsPerFrame);
  const ratio = (quantile(speeds, 0.9) ?? 1) / (quantile(speeds, 0.1) ?? 1);
  return ratio < leastSpeedRatio ? 0 : ratio < threeBandsRatio ? 2 : 3;
}

function split(tiles: readonly PreparedTile[], count: number): readonly (readonly PreparedTile[])[] {
  return Array.from({ length: count }, (_, i) =>
    tiles.slice(Math.round((i * tiles.length) / count), Math.round(((i + 1) * tiles.length) / count)),
  );
}

function angleOf(
  part: PartialAngle['part'],
  tiles: readonly PreparedTile[],
  model: TextureModel,
): PartialAngle | undefined {
  const fit = fitOpening(
    tiles.map(({ ratios }) => ratios),
    model,
  );
  if (fit === undefined) return undefined;
  const { lowDegrees, middleDegrees, highDegrees } = posteriorOf(fit);
  return {
    part,
    motionPixelsPerFrame: fit.levelPixelsPerFrame * 2 ** tiles[0]!.tile.level,
    atSeconds: tiles.reduce((sum, { tile }) => sum + tile.atSeconds, 0) / tiles.length,
    angleDegrees: middleDegrees,
    lowDegrees,
    highDegrees,
    tileCount: tiles.length,
  };
}

/** Whether any two parts of one kind contradict each other. */
export function contradict(parts: readonly PartialAngle[], kind: PartialAngle['part']): boolean {
  const asked = parts.filter(({ part }) => part === kind);
  return asked.some((a) => asked.some((b) => gapStops(a, b) > toleratedGapStops));
}

export function gapStops(a: { readonly highDegrees: number }, b: { readonly lowDegrees: number }): number {
  return Math.log2(b.lowDegrees / a.highDegrees);
}

/** Standard deviation of the whole, in stops, as the differences between its halves tell it. */
export function scatterStops(parts: readonly PartialAngle[]): number {
  let [sum, count] = [0, 0];
  for (const kind of ['half', 'window', 'speed-band'] as const) {
    const asked = parts.filter(({ part }) => part === kind);
    if (asked.length < 2) continue;
    const logs = asked.map(({ angleDegrees }) => Math.log2(angleDegrees));
    sum += (Math.max(...logs) - Math.min(...logs)) ** 2 / 4;
    count++;
  }
  return count === 0 ? 0 : Math.sqrt(sum / count);
}
