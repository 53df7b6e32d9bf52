import type { ShutterReason } from '../../domain/shutter.ts';
import { median } from '../../domain/statistics.ts';
import { contradict, gapStops, partialAngles, scatterStops } from './agreement.ts';
import type { PreparedTile } from './agreement.ts';
import type { LevelTiles } from './measureTiles.ts';
import { fitOpening, openFractions, stepStops } from './openingFit.ts';
import type { OpeningFit } from './openingFit.ts';
import { ratiosOf } from './pooling.ts';
import { posteriorOf, zerosSeen } from './posterior.ts';
import type { Posterior } from './posterior.ts';
import type { PartialAngle } from './shutterEstimate.ts';

/** What the fits say together, before it is put into words. */
export interface Judgement {
  readonly fit: OpeningFit;
  readonly posterior: Posterior;
  readonly parts: readonly PartialAngle[];
  readonly tileCount: number;
  readonly objection?: ShutterReason;
}

/** Measures tiles at a level when first asked for it. */
export type TilesAt = (level: number) => LevelTiles;

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
  let found = fitsAt(tilesAt(level));
  while (level < mostLevel && medianSpeed(tilesAt(level)) >= mostLevelPixels) {
    const coarser = fitsAt(tilesAt(level + 1));
    // Small pictures have no room for enough tiles.
    if (coarser === undefined) break;
    level++;
    found = coarser;
  }
  while (level > 0 && found !== undefined) {
    const blurPixels = (posteriorOf(found.fit).highDegrees / 360) * found.fit.levelPixelsPerFrame;
    if (blurPixels >= leastBlurPixels) break;
    const finer = fitsAt(tilesAt(level - 1));
    if (finer === undefined) break;
    level--;
    found = finer;
  }
  return found && judge(found);
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

function judge({ fit, moving, objection: ofFits }: LevelFit): Judgement {
  const parts = partialAngles(moving, fit.model);
  const objection = ofFits ?? objectionOf(parts);
  return {
    fit,
    posterior: posteriorOf(fit, scatterStops(parts)),
    parts,
    tileCount: moving.length,
    objection,
  };
}

interface Choice {
  readonly fit: OpeningFit;
  readonly objection?: ShutterReason;
}

/** The narrower of two fits that agree; where they do not, or neither fits, there is no answer. */
function choose(bySector: OpeningFit, isotropic: OpeningFit): Choice {
  const [sectors, single] = [posteriorOf(bySector), posteriorOf(isotropic)];
  const gap = Math.max(gapStops(sectors, single), gapStops(single, sectors));
  if (gap > tolerableGapStops) return { fit: bySector, objection: 'repeating-texture' };
  const narrower = width(single) < width(sectors) && isotropic.misfit <= isotropicMisfit;
  const fit = narrower ? isotropic : bySector;
  if (bySector.misfit <= believableMisfit) return { fit };
  const apart = Math.abs(bySector.bestIndex - isotropic.bestIndex) * stepStops;
  const seen = zerosSeen(fit, openFractions[fit.bestIndex]!) >= 1.1;
  const rescued =
    bySector.misfit < rescuedMisfit && apart < 0.25 && seen && width(posteriorOf(fit)) < rescuedWidthStops;
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
