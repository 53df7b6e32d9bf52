import type { ShutterReason } from '../../domain/shutter.ts';
import { median, quantile } from '../../domain/statistics.ts';
import {
  posteriorOf,
  zerosSeen,
  fitOpening,
  openFractions,
  stepStops,
  type Posterior,
  type OpeningFit,
} from './openingFit.ts';
import { ratiosOf, type TileRatios } from './attenuationCurve.ts';
import type { TextureModel } from './textureFit.ts';
import type { LevelTiles, TileSpectrum } from './tileSpectra.ts';

/** What one part of the tiles says by itself; from low to high it holds with 95%. */
interface PartialAngle extends Pick<Posterior, 'lowDegrees' | 'highDegrees'> {
  readonly part: 'speed-band' | 'window' | 'half';
  readonly motionPixelsPerFrame: number;
  readonly atSeconds: number;
  readonly angleDegrees: number;
  readonly tileCount: number;
}

/** A tile with its ratios, which every fit it takes part in uses again. */
interface PreparedTile {
  readonly tile: TileSpectrum;
  readonly ratios: TileRatios;
}

/** What the fits say together, before it is put into words. */
export interface Judgement {
  readonly fit: OpeningFit;
  readonly posterior: Posterior;
  readonly parts: readonly PartialAngle[];
  readonly tileCount: number;
  readonly objection?: ShutterReason;
}

/** Measures tiles at a level when first asked for it. */
type TilesAt = (level: number) => LevelTiles;

/** Above this the blur of a long exposure is wide against the tile and its zeros are smeared. */
const mostLevelPixels = 40;
/** An upper bound on the blur shorter than this asks for a finer level. */
const leastBlurPixels = 4;
const leastLevelPixels = 1.5;
export const leastTiles = 12;
const mostLevel = 3;
// Limits on misfits were set on the tuning two thirds of the bench (test/bench/shutterBench.ts) and then left alone.

/** Isotropic fits up to this misfit are believed where they are the narrower. */
const isotropicMisfit = 1.2;
const believableMisfit = 0.85;
/** Beyond that, only where both fits agree on a zero that is seen, and closely. */
const rescuedMisfit = 1.6;
const rescuedWidthStops = 0.5;
const tolerableGapStops = 0.15;

export function judgeTiles(tilesAt: TilesAt, baseLevel: number): Judgement | undefined {
  let level = baseLevel;
  let best = fitsAt(tilesAt(level));
  while (level < mostLevel && medianSpeed(tilesAt(level)) >= mostLevelPixels) {
    const coarser = fitsAt(tilesAt(level + 1));
    // Small pictures have no room for enough tiles.
    if (coarser === undefined) break;
    level++;
    best = coarser;
  }
  while (level > 0 && best !== undefined) {
    const blurPixels = (posteriorOf(best.fit).highDegrees / 360) * best.fit.levelPixelsPerFrame;
    if (blurPixels >= leastBlurPixels) break;
    const finer = fitsAt(tilesAt(level - 1));
    if (finer === undefined) break;
    level--;
    best = finer;
  }
  return best && judge(best);
}

export function medianSpeed({ tiles }: LevelTiles): number {
  return median(tiles.map((tile) => tile.levelPixelsPerFrame)) ?? 0;
}

/** The fit of one level, and the tiles that it rests on. */
interface LevelFit extends Choice {
  readonly moving: readonly PreparedTile[];
}

function fitsAt({ tiles }: LevelTiles): LevelFit | undefined {
  const moving = tiles
    .filter((tile) => tile.levelPixelsPerFrame >= leastLevelPixels)
    .map((tile): PreparedTile => ({ tile, ratios: ratiosOf(tile) }));
  if (moving.length < leastTiles) return undefined;
  const ratios = moving.map((tile) => tile.ratios);
  const bySector = fitOpening(ratios, 'sectors');
  const isotropic = fitOpening(ratios, 'isotropic');
  if (bySector === undefined || isotropic === undefined) return undefined;
  return { ...choose(bySector, isotropic), moving };
}

function judge({ fit, moving, objection }: LevelFit): Judgement {
  const parts = partialAngles(moving, fit.model);
  const posterior = posteriorOf(fit, scatterStops(parts));
  return { fit, posterior, parts, tileCount: moving.length, objection: objection ?? objectionOf(parts) };
}

type Choice = Pick<Judgement, 'fit' | 'objection'>;

/** The narrower of two fits that agree; where they do not, or neither fits, there is no answer. */
function choose(bySector: OpeningFit, isotropic: OpeningFit): Choice {
  const [sectors, single] = [posteriorOf(bySector), posteriorOf(isotropic)];
  const gap = Math.max(gapStops(sectors, single), gapStops(single, sectors));
  if (gap > tolerableGapStops) return { fit: bySector, objection: 'repeating-texture' };
  const narrower = width(single) < width(sectors) && isotropic.misfit <= isotropicMisfit;
  const fit = narrower ? isotropic : bySector;
  if (bySector.misfit <= believableMisfit) return { fit };
  const apart = Math.abs(bySector.bestIndex - isotropic.bestIndex) * stepStops;
  const isZeroSeen = zerosSeen(fit, openFractions[fit.bestIndex]!) >= 1.1;
  const rescued =
    bySector.misfit < rescuedMisfit &&
    apart < 0.25 &&
    isZeroSeen &&
    width(posteriorOf(fit)) < rescuedWidthStops;
  return rescued ? { fit } : { fit, objection: 'repeating-texture' };
}

function width({ lowDegrees, highDegrees }: Posterior): number {
  return Math.log2(highDegrees / lowDegrees);
}

function objectionOf(parts: readonly PartialAngle[]): ShutterReason | undefined {
  if (parts.filter(({ part }) => part === 'window').length < 2) return 'too-few-pairs';
  if (contradict(parts, 'speed-band')) return 'bands-disagree';
  if (contradict(parts, 'window') || contradict(parts, 'half')) return 'windows-disagree';
  return undefined;
}

// One exposure gives one angle. Parts of the tiles that differ in what could deceive (speed, time, place) are
// therefore fitted by themselves: texture that imitates blur has a size in pixels and moves with the speed band.

/** Speeds that differ by less than this tell nothing apart. */
const leastSpeedRatio = 1.35;
const threeBandsRatio = 2.2;
/** Intervals of two parts farther apart than this contradict each other. */
const toleratedGapStops = 0.1;

function partialAngles(tiles: readonly PreparedTile[], model: TextureModel): readonly PartialAngle[] {
  const bySpeed = [...tiles].sort((a, b) => a.tile.levelPixelsPerFrame - b.tile.levelPixelsPerFrame);
  const byTime = [...tiles].sort((a, b) => a.tile.pairIndex - b.tile.pairIndex);
  const lastPair = byTime[byTime.length - 1]?.tile.pairIndex ?? 0;
  const early = byTime.filter(({ tile }) => tile.pairIndex <= (lastPair - 1) / 2);
  const late = byTime.filter(({ tile }) => tile.pairIndex >= (lastPair + 1) / 2);
  return [
    ...split(bySpeed, bandCountFor(bySpeed)).map((part) => angleOf('speed-band', part, model)),
    ...[early, late].map((part) => angleOf('window', part, model)),
    ...[0, 1].map((odd) => {
      const half = byTime.filter((_, i) => i % 2 === odd);
      return angleOf('half', half, model);
    }),
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
  const ratios = tiles.map((tile) => tile.ratios);
  const fit = fitOpening(ratios, model);
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
  const ofKind = parts.filter(({ part }) => part === kind);
  return ofKind.some((a) => ofKind.some((b) => gapStops(a, b) > toleratedGapStops));
}

function gapStops(a: { readonly highDegrees: number }, b: { readonly lowDegrees: number }): number {
  return Math.log2(b.lowDegrees / a.highDegrees);
}

/** Standard deviation of the whole, in stops, as the differences between its halves tell it. */
export function scatterStops(parts: readonly PartialAngle[]): number {
  let [sum, count] = [0, 0];
  for (const kind of ['half', 'window', 'speed-band'] as const) {
    const ofKind = parts.filter(({ part }) => part === kind);
    if (ofKind.length < 2) continue;
    const logs = ofKind.map(({ angleDegrees }) => Math.log2(angleDegrees));
    sum += (Math.max(...logs) - Math.min(...logs)) ** 2 / 4;
    count++;
  }
  return count === 0 ? 0 : Math.sqrt(sum / count);
}
