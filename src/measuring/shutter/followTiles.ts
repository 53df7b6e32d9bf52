import { median } from '../../domain/statistics.ts';
import type { Luma } from '../luma.ts';
import {
  planCorrelator,
  coherence,
  refineShift,
  type CrossSpectrum,
  type Shift,
} from '../motion/phaseCorrelation.ts';
import { tileSize, type LumaPlane, type LightPlane } from './framePair.ts';

/** Where a tile stands: its centre, in pixels of the picture as recorded. */
interface Place {
  readonly x: number;
  readonly y: number;
  /** Root mean square difference of codes 4 pixels of the level apart, in 8-bit codes. */
  readonly gradientCodes: number;
}

const margin = 8;
/** Below this sensor noise and codec are most of what there is. */
const leastGradientCodes = 3;
const enoughCandidates = 24;

/** The best textured places for tiles at one level, best first; where few fit side by side, neighbours overlap. */
export function textured(plane: LumaPlane, level: number, most: number): readonly Place[] {
  const side = tileSize << level;
  const edge = margin << level;
  const candidates = (overlap: number): number =>
    countAlong(plane.width, side, edge, overlap) * countAlong(plane.height, side, edge, overlap);
  const overlap = [1, 2].find((per) => candidates(per) >= enoughCandidates) ?? 4;
  const places: Place[] = [];
  for (const y of centres(plane.height, side, edge, overlap))
    for (const x of centres(plane.width, side, edge, overlap))
      places.push({ x, y, gradientCodes: gradient(plane, x - side / 2, y - side / 2, level) });
  return places
    .filter((place) => place.gradientCodes >= leastGradientCodes)
    .sort((a, b) => b.gradientCodes - a.gradientCodes)
    .slice(0, most);
}

function countAlong(length: number, side: number, edge: number, overlap: number): number {
  const room = length - 2 * edge - side;
  return room < 0 ? 0 : Math.floor((room / side) * overlap) + 1;
}

function centres(length: number, side: number, edge: number, overlap: number): readonly number[] {
  const count = countAlong(length, side, edge, overlap);
  const room = length - 2 * edge - side;
  return Array.from({ length: count }, (_, i) =>
    Math.round(edge + side / 2 + (count > 1 ? (room * i) / (count - 1) : room / 2)),
  );
}

function gradient({ codes, width, bitDepth }: LumaPlane, left: number, top: number, level: number): number {
  const step = 4 << level;
  const reach = 2 << level;
  let sum = 0;
  let count = 0;
  for (let y = top + step; y < top + (tileSize << level) - step; y += step) {
    for (let x = left + step; x < left + (tileSize << level) - step; x += step, count++) {
      const at = Math.round(y) * width + Math.round(x);
      const across = codes[at + reach]! - codes[at - reach]!;
      const down = codes[at + reach * width]! - codes[at - reach * width]!;
      sum += across * across + down * down;
    }
  }
  return Math.sqrt(sum / count) / 2 ** (bitDepth - 8);
}

/** Both tiles of a place after the second was followed: the spectra hold what is left of a displacement. */
export interface FollowedTile {
  readonly place: Place;
  /** Whole displacement between the frames, in pixels of the level. */
  readonly shift: Shift;
  /** The part of it that the tiles' whole-pixel places leave over. */
  readonly residual: Shift;
  readonly coherence: number;
  /** Overwritten when the next tile is looked at. */
  readonly spectrum: CrossSpectrum;
}

interface LevelPair {
  readonly level: number;
  readonly first: LightPlane;
  readonly second: LightPlane;
  /** Tiles of this pair that were followed at another level. */
  readonly followed: readonly TileMotion[];
}

/** In pixels as recorded. */
interface TileMotion {
  readonly level: number;
  readonly place: Shift;
  readonly moved: Shift;
}

/** Small pictures are searched at a finer size, where they still hold several tiles. */
const coarseFactors = [4, 2, 1] as const;
const coarseSize = 64;
const coarseReach = 28;
const fineReach = 10;
/** A coarse peak less distinct than this is checked against the motion of the other tiles. */
const distinct = 1.15;
const coarsePlan = planCorrelator(coarseSize);
const finePlan = planCorrelator(tileSize);

/** Less agreement than this between the two tiles: the content was covered, turned, or not found. */
const leastCoherence = 0.55;

/** A place, and where to look for it in the second picture; the likeliest displacement first. */
interface Sought {
  readonly place: Place;
  readonly seeds: readonly Shift[];
  /** Whether the first was found at another level: where the tile is not found there, its detail is lost in noise. */
  readonly isSure: boolean;
}

/** Follows the fastest of the places from the first picture to the second, and hands those that agree to `visit`. */
export function followTiles(
  pair: LevelPair,
  places: readonly Place[],
  { most, visit }: { readonly most: number; readonly visit: (tile: FollowedTile) => void },
): void {
  const unknown: Place[] = [];
  const sought = places.flatMap((place): Sought | [] => {
    const followed = followedNear(pair.followed, place);
    if (followed === undefined) unknown.push(place);
    return followed === undefined ? [] : { place, seeds: [seedFrom(followed, pair.level)], isSure: true };
  });
  if (sought.length < most && unknown.length > 0) sought.push(...searchFor(pair, unknown));
  const speed = ({ seeds: [seed] }: Sought): number => Math.hypot(seed!.x, seed!.y);
  let left = most;
  for (const { place, seeds, isSure } of sought.sort((a, b) => speed(b) - speed(a))) {
    if (left-- === 0) break;
    for (const seed of seeds) {
      const tile = follow(pair, place, { seed, isSure });
      if (tile === undefined || tile.coherence < leastCoherence) continue;
      visit(tile);
      break;
    }
  }
}

/** The nearest tile that was followed at another level, where it covers a place. */
function followedNear(followed: readonly TileMotion[], place: Place): TileMotion | undefined {
  const distance = ({ place: { x, y } }: TileMotion): number =>
    Math.max(Math.abs(x - place.x), Math.abs(y - place.y));
  const covering = followed.filter((tile) => distance(tile) <= (tileSize << tile.level) / 2);
  return covering.sort((a, b) => distance(a) - distance(b))[0];
}

function seedFrom({ moved }: TileMotion, level: number): Shift {
  const scale = 2 ** level;
  return { x: Math.round(moved.x / scale), y: Math.round(moved.y / scale) };
}

function searchFor(pair: LevelPair, places: readonly Place[]): readonly Sought[] {
  const shortSide = Math.min(pair.first.width, pair.first.height);
  const factor = coarseFactors.find((candidate) => shortSide / candidate >= 1.25 * coarseSize) ?? 1;
  const coarse = { first: pair.first.shrunk(factor), second: pair.second.shrunk(factor), factor };
  const shifts = places.map((place) => coarseShift(coarse, place, pair.level));
  const sure = shifts.filter((shift) => shift.distinctness > 1.3);
  const common = { x: median(sure.map(({ x }) => x)) ?? 0, y: median(sure.map(({ y }) => y)) ?? 0 };
  return places.map((place, i) => {
    const own = shifts[i]!;
    return { place, seeds: own.distinctness > distinct ? [own] : [common, own], isSure: false };
  });
}

function coarseShift(
  { first, second, factor }: { first: Luma; second: Luma; factor: number },
  place: Place,
  level: number,
): Shift & { distinctness: number } {
  const scale = factor << level;
  const at = {
    x: within(Math.round(place.x / scale - coarseSize / 2), first.width - coarseSize),
    y: within(Math.round(place.y / scale - coarseSize / 2), first.height - coarseSize),
  };
  if (first.width < coarseSize || first.height < coarseSize) return { x: 0, y: 0, distinctness: 0 };
  const peak = coarsePlan.peak(coarsePlan.spectrum(first, at, second, at), coarseReach);
  return { x: peak.x * factor, y: peak.y * factor, distinctness: peak.distinctness };
}

function within(value: number, most: number): number {
  return Math.min(Math.max(0, value), Math.max(0, most));
}

const corner: Shift = { x: 0, y: 0 };

// The tile is cut half a displacement back in the first picture and half forward in the second, so that both show
// the same content and an uneven motion falls out to the first order.
function follow(
  pair: LevelPair,
  place: Place,
  { seed, isSure }: { readonly seed: Shift; readonly isSure: boolean },
): FollowedTile | undefined {
  let { x, y } = seed;
  for (let round = 0; ; round++) {
    const at = {
      x: Math.round(place.x / 2 ** pair.level - tileSize / 2) - Math.floor(x / 2),
      y: Math.round(place.y / 2 ** pair.level - tileSize / 2) - Math.floor(y / 2),
    };
    const secondAt = { x: at.x + x, y: at.y + y };
    if (!inside(pair.first, at) || !inside(pair.second, secondAt)) return undefined;
    const spectrum = finePlan.spectrum(pair.first.tile(at), corner, pair.second.tile(secondAt), corner);
    const start = round === 0 && !isSure ? finePlan.peak(spectrum, fineReach) : { x: 0, y: 0 };
    const refined = refineShift(spectrum, start);
    const residual =
      Math.hypot(refined.x - start.x, refined.y - start.y) < 1.5 ? refined : { x: start.x, y: start.y };
    if (Math.hypot(residual.x, residual.y) <= 0.75 || round === 2)
      return {
        place,
        shift: { x: x + residual.x, y: y + residual.y },
        residual,
        coherence: coherence(spectrum, residual),
        spectrum,
      };
    x += Math.round(residual.x);
    y += Math.round(residual.y);
  }
}

function inside({ width, height }: LightPlane, at: Shift): boolean {
  return at.x >= 0 && at.y >= 0 && at.x + tileSize <= width && at.y + tileSize <= height;
}
