import type { ShutterReason } from '../../domain/shutter.ts';
import type { FramePair } from './framePair.ts';
import { judgeTiles, leastTiles, medianSpeed } from './judgeTiles.ts';
import type { TilesAt } from './judgeTiles.ts';
import { planPairLevels } from './level.ts';
import { measureTiles } from './measureTiles.ts';
import type { LevelTiles } from './measureTiles.ts';
import { sharpnessBeats } from './sharpnessChange.ts';
import { isRepeated } from './sameFrames.ts';
import type { ShutterEstimate, ShutterEvidence, ShutterOptions } from './shutterEstimate.ts';
import { verdictOf } from './verdict.ts';

/** Wider pictures are looked at halved first; the finer level is used where the blur is short. */
const wideWidth = 2560;
/** Below it a frame shown twice is a camera that stood still. */
const leastMovingPixels = 1;
const nothing: ShutterEvidence = { points: [], parts: [] };

/**
 * Shutter angle of a clip from the motion blur in pairs of its consecutive frames. The angle rests on the assumption
 * that the shutter opens and closes at once and that the camera moved evenly while it was open.
 *
 * @param pairs of one clip, all of one size; at least two, better four to six from different moments
 */
export function estimateShutter(pairs: readonly FramePair[], options: ShutterOptions = {}): ShutterEstimate {
  const repeated = pairs.filter(isRepeated).length;
  const moving = pairs.filter((pair) => !isRepeated(pair)).map(planPairLevels());
  const kept = new Map<number, LevelTiles>();
  const tilesAt: TilesAt = (level) => {
    const before = kept.get(level);
    if (before !== undefined) return before;
    const tiles = measureTiles(
      moving,
      level,
      [...kept.values()].flatMap((other) => other.tiles),
    );
    kept.set(level, tiles);
    return tiles;
  };
  const base = (pairs[0]?.first.width ?? 0) >= wideWidth ? 1 : 0;
  return estimateFromTiles(
    { pairCount: pairs.length, repeated, uneven: sharpnessBeats(pairs), tilesAt, base },
    options,
  );
}

/** Tiles as they are measured, with what was seen of the pairs as a whole. */
interface ClipTiles {
  readonly pairCount: number;
  /** Pairs that show one picture twice. */
  readonly repeated: number;
  /** Whether consecutive pictures differ in sharpness: blended ones do. */
  readonly uneven: boolean;
  readonly tilesAt: TilesAt;
  /** The level looked at first. */
  readonly base: number;
}

function estimateFromTiles(clip: ClipTiles, options: ShutterOptions = {}): ShutterEstimate {
  const first = clip.tilesAt(clip.base);
  const medianMotionPixels = medianSpeed(first) * 2 ** clip.base;
  const known = {
    pairCount: clip.pairCount,
    tileCount: first.tiles.length,
    medianMotionPixels: first.tiles.length === 0 ? undefined : medianMotionPixels,
  };
  const hindrance = hindranceOf(clip, first, medianMotionPixels);
  if (hindrance !== undefined)
    return { verdict: 'cannot-tell', reason: hindrance, ...known, evidence: nothing };
  const judged = judgeTiles(clip.tilesAt, clip.base);
  if (judged === undefined)
    return { verdict: 'cannot-tell', reason: 'too-little-motion', ...known, evidence: nothing };
  const { evidence, ...verdict } = verdictOf(judged, medianMotionPixels, options);
  const reason = verdict.reason === 'too-few-pairs' ? thinReason(clip, first) : verdict.reason;
  return { ...verdict, ...(reason && { reason }), ...known, tileCount: judged.tileCount, evidence };
}

/** What forbids an answer before any blur is looked at. */
function hindranceOf(clip: ClipTiles, first: LevelTiles, motionPixels: number): ShutterReason | undefined {
  if (clip.pairCount === 0) return 'too-few-pairs';
  if (clip.repeated === clip.pairCount) return 'too-little-motion';
  if (first.placed < leastTiles) return 'too-little-texture';
  if (first.tiles.length < leastTiles) {
    // Noise averages out in a halved picture; motions that differ inside a tile differ there too.
    const halved = clip.tilesAt(clip.base + 1);
    return halved.tiles.length > halved.placed / 2 ? 'too-noisy' : 'mixed-motions';
  }
  if (motionPixels < leastMovingPixels) return undefined;
  if (clip.repeated > 0) return 'repeated-frames';
  return clip.uneven ? 'uneven-sharpness' : undefined;
}

/** Why there were pairs but not enough tiles to compare them. */
function thinReason({ pairCount, repeated }: ClipTiles, first: LevelTiles): ShutterReason {
  if (pairCount - repeated < 2) return 'too-few-pairs';
  return first.tiles.length < first.placed / 2 ? 'too-noisy' : 'too-little-texture';
}
