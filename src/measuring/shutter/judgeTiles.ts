import type { ShutterReason } from '../../domain/shutter.ts';
import { median, quantile } from '../../domain/statistics.ts';
import {
  posteriorOf,
  fitOpening,
  reachedCycles,
  type Posterior,
  type OpeningFit,
  type Reach,
} from './openingFit.ts';
import { ratiosOf, type TileRatios } from './attenuationCurve.ts';
import type { TextureModel } from './textureFit.ts';
import type { LevelTiles, TileSpectrum } from './tileSpectra.ts';

/** What one part of the tiles says by itself; from low to high it holds with 95%. */
interface PartialAngle extends Pick<Posterior, 'lowDegrees' | 'highDegrees'> {
  readonly part: 'speed' | 'pairs';
  readonly motionPixelsPerFrame: number;
  readonly angleDegrees: number;
  readonly tileCount: number;
}

/** A tile with its ratios, which every fit it takes part in uses again. */
interface PreparedTile {
  readonly tile: TileSpectrum;
  readonly ratios: TileRatios;
}

interface Fitted {
  readonly fit: OpeningFit;
  readonly posterior: Posterior;
}

/** What the fits say together, before it is put into words. */
export interface Judgement {
  /** The model with the narrower interval, and the other. */
  readonly narrower: Fitted;
  readonly wider: Fitted;
  readonly parts: readonly PartialAngle[];
  readonly tileCount: number;
  /**
   * Places in the picture fast enough for an answer. Tiles of one place in frames that follow each other show one piece of
   * texture, which may run one way.
   */
  readonly fastPlaces: number;
  /** How many zeros of the likeliest angle lie inside of what was measured. */
  readonly zerosSeen: number;
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
/** At recorded size; below it no bound on the angle is told from lens and codec. */
export const leastFastPixels = 5.2;
/** In units of what the scatter of the tiles explains. Of 114 right answers one lay above 0.7; at 0.75 one was wrong. */
const believableMisfit = 0.72;
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
    const { fit, posterior } = best.narrower;
    if ((posterior.highDegrees / 360) * fit.levelPixelsPerFrame >= leastBlurPixels) break;
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

/** The fits of one level, and the tiles that they rest on. */
interface LevelFit extends Pick<Judgement, 'narrower' | 'wider'> {
  readonly moving: readonly PreparedTile[];
  readonly reach: Reach;
}

function fitsAt({ tiles, unevenness = 0 }: LevelTiles): LevelFit | undefined {
  const moving = tiles
    .filter((tile) => tile.levelPixelsPerFrame >= leastLevelPixels)
    .map((tile): PreparedTile => ({ tile, ratios: ratiosOf(tile) }));
  if (moving.length < leastTiles) return undefined;
  const ratios = moving.map((tile) => tile.ratios);
  const [single, apart] = [fitOpening(ratios, 'isotropic'), fitOpening(ratios, 'sectors')];
  if (single === undefined || apart === undefined) return undefined;
  const reach = { reached: reachedCycles(single), unevenness };
  const [isotropic, sectors] = [single, apart].map((fit) => ({
    fit,
    posterior: posteriorOf(fit, reach),
  })) as [Fitted, Fitted];
  const [narrower, wider] =
    width(isotropic.posterior) < width(sectors.posterior) ? [isotropic, sectors] : [sectors, isotropic];
  return { narrower, wider, moving, reach };
}

function width({ lowDegrees, highDegrees }: Posterior): number {
  return Math.log2(highDegrees / lowDegrees);
}

function judge({ narrower, wider, moving, reach }: LevelFit): Judgement {
  const parts = partialAngles(moving, { model: narrower.fit.model, reach });
  const fast = moving.filter(({ tile: { moved } }) => Math.hypot(moved.x, moved.y) >= leastFastPixels);
  const fastPlaces = new Set(fast.map(({ tile: { place } }) => `${place.x} ${place.y}`)).size;
  const objection = objectionOf({ narrower, wider, parts });
  const zerosSeen = (narrower.posterior.middleDegrees / 360) * reach.reached;
  return { narrower, wider, parts, tileCount: moving.length, fastPlaces, zerosSeen, objection };
}

function objectionOf({
  narrower,
  wider,
  parts,
}: Pick<Judgement, 'narrower' | 'wider' | 'parts'>): ShutterReason | undefined {
  const [one, other] = [narrower.posterior, wider.posterior];
  if (Math.max(gapStops(one, other), gapStops(other, one)) > tolerableGapStops) return 'repeating-texture';
  if (narrower.fit.misfit > believableMisfit) return 'repeating-texture';
  if (contradict(parts, 'speed')) return 'bands-disagree';
  return contradict(parts, 'pairs') ? 'windows-disagree' : undefined;
}

// One exposure gives one angle. Parts of the tiles that differ in what could deceive (speed, time, place) are
// therefore fitted by themselves: texture that imitates blur has a size in pixels and moves with the speed band.

/** Speeds that differ by less than this tell nothing apart. */
const leastSpeedRatio = 1.35;
/** Intervals of two parts farther apart than this contradict each other. */
const toleratedGapStops = 0.1;

/** How the whole was fitted, and how far it reached. */
interface Whole {
  readonly model: TextureModel;
  readonly reach: Reach;
}

function partialAngles(tiles: readonly PreparedTile[], whole: Whole): readonly PartialAngle[] {
  const bySpeed = tiles.toSorted((a, b) => a.tile.levelPixelsPerFrame - b.tile.levelPixelsPerFrame);
  const speeds = bySpeed.map(({ tile }) => tile.levelPixelsPerFrame);
  const ratio = (quantile(speeds, 0.9) ?? 1) / (quantile(speeds, 0.1) ?? 1);
  const middle = Math.round(tiles.length / 2);
  const halves = ratio < leastSpeedRatio ? [] : [bySpeed.slice(0, middle), bySpeed.slice(middle)];
  const turns = [0, 1].map((turn) => tiles.filter(({ tile }) => tile.pairIndex % 2 === turn));
  return [
    ...halves.map((half) => angleOf('speed', half, whole)),
    ...turns.map((turn) => angleOf('pairs', turn, whole)),
  ].filter((part) => part !== undefined);
}

function angleOf(
  part: PartialAngle['part'],
  tiles: readonly PreparedTile[],
  { model, reach }: Whole,
): PartialAngle | undefined {
  const fit = fitOpening(
    tiles.map(({ ratios }) => ratios),
    model,
  );
  if (fit === undefined) return undefined;
  const { lowDegrees, middleDegrees, highDegrees } = posteriorOf(fit, reach);
  return {
    part,
    motionPixelsPerFrame: fit.levelPixelsPerFrame * 2 ** tiles[0]!.tile.level,
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
