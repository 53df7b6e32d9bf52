import type { FramePair } from './framePair.ts';
import { judgeTiles, leastTiles, medianSpeed } from './judgeTiles.ts';
import type { Judgement, TilesAt } from './judgeTiles.ts';
import { keepLevels, pairLevels } from './level.ts';
import { measureTiles } from './measureTiles.ts';
import type { LevelTiles } from './measureTiles.ts';
import { openFractions } from './openingFit.ts';
import { classProbabilities } from './posterior.ts';
import type { ClassProbabilities } from './posterior.ts';
import { isRepeated } from './sameFrames.ts';
import type { ShutterClass, ShutterEstimate, ShutterEvidence, ShutterOptions, ShutterReason } from './shutterEstimate.ts';

/** Wider pictures are looked at halved first; the finer level is used where the blur is short. */
const wideWidth = 2560;
/** At recorded size; below it no bound on the angle is told from lens and codec. */
const leastMotionPixels = 5.2;
const leastClassProbability = 0.9;
const widestIntervalStops = 1;
const nothing: ShutterEvidence = { points: [], parts: [] };

/**
 * Shutter angle of a clip from the motion blur in pairs of its consecutive frames. The angle rests on the assumption
 * that the shutter opens and closes at once and that the camera moved evenly while it was open.
 *
 * @param pairs of one clip, all of one size; at least two, better four to six from different moments
 */
export function estimateShutter(pairs: readonly FramePair[], options: ShutterOptions = {}): ShutterEstimate {
  const levelsOfPlane = keepLevels();
  const repeated = pairs.filter(isRepeated).length;
  const moving = pairs.filter((pair) => !isRepeated(pair)).map((pair) => pairLevels(pair, levelsOfPlane));
  const kept = new Map<number, LevelTiles>();
  const tilesAt: TilesAt = (level) => {
    const known = kept.get(level) ?? measureTiles(moving, level);
    kept.set(level, known);
    return known;
  };
  const base = (pairs[0]?.first.width ?? 0) >= wideWidth ? 1 : 0;
  return estimateFromTiles({ pairCount: pairs.length, repeated, tilesAt, base }, options);
}

/** Tiles as they are measured, with what was seen of the pairs as a whole. */
export interface ClipTiles {
  readonly pairCount: number;
  /** Pairs that show one picture twice. */
  readonly repeated: number;
  readonly tilesAt: TilesAt;
  /** The level looked at first. */
  readonly base: number;
}

export function estimateFromTiles(clip: ClipTiles, options: ShutterOptions = {}): ShutterEstimate {
  const first = clip.tilesAt(clip.base);
  const medianMotionPixels = medianSpeed(first) * 2 ** clip.base;
  const known = {
    pairCount: clip.pairCount,
    tileCount: first.tiles.length,
    ...(first.tiles.length === 0 ? {} : { medianMotionPixels }),
  };
  const refuse = (reason: ShutterReason, evidence = nothing): ShutterEstimate => ({
    verdict: 'cannot-tell',
    reason,
    ...known,
    evidence,
  });
  if (clip.repeated === clip.pairCount) return refuse(clip.pairCount === 0 ? 'too-few-pairs' : 'too-little-motion');
  if (first.placed < leastTiles) return refuse('too-little-texture');
  if (first.tiles.length < leastTiles) return refuse('mixed-motions');
  if (clip.repeated > 0 && medianMotionPixels >= 1) return refuse('repeated-frames');
  const judged = judgeTiles(clip.tilesAt, clip.base);
  if (judged === undefined) return refuse('too-little-motion');
  const evidence = evidenceOf(judged);
  if (judged.objection !== undefined) return refuse(judged.objection, evidence);
  return verdictOf({ ...known, tileCount: judged.tileCount }, medianMotionPixels, judged, options);
}

function verdictOf(
  known: Pick<ShutterEstimate, 'pairCount' | 'tileCount' | 'medianMotionPixels'>,
  medianMotionPixels: number,
  judged: Judgement,
  options: ShutterOptions,
): ShutterEstimate {
  const { lowDegrees, middleDegrees, highDegrees } = judged.posterior;
  const probabilities = classProbabilities(judged.posterior, {
    angleDegrees: options.targetAngleDegrees ?? 180,
    toleranceStops: options.toleranceStops ?? 1 / 3,
  });
  const found = mostProbable(probabilities);
  const evidence = evidenceOf(judged);
  const narrow = Math.log2(highDegrees / lowDegrees) < widestIntervalStops;
  const atEnd = highDegrees > 360 * openFractions[openFractions.length - 1]! * 0.98;
  const refuse = (reason: ShutterReason): ShutterEstimate => ({ verdict: 'cannot-tell', reason, ...known, evidence });
  if (atEnd) return refuse('interval-too-wide');
  if (found === 'short' && medianMotionPixels < leastMotionPixels) return refuse('too-little-motion');
  if (!narrow && found !== 'short')
    return refuse((middleDegrees / 360) * medianMotionPixels < 3.3 ? 'too-little-motion' : 'interval-too-wide');
  return {
    verdict: narrow ? 'measured' : 'short',
    ...(narrow ? { angleDegrees: middleDegrees } : {}),
    interval: { lowDegrees, highDegrees },
    classProbabilities: probabilities,
    ...(found === undefined ? {} : { class: found }),
    ...known,
    evidence,
  };
}

function mostProbable(probabilities: ClassProbabilities): ShutterClass | undefined {
  return (['short', 'on', 'long'] as const).find((name) => probabilities[name] >= leastClassProbability);
}

function evidenceOf({ fit, posterior, parts }: Judgement): ShutterEvidence {
  return {
    points: fit.points.map(({ cyclesPerFrame, attenuation, weight }, i) => ({
      cyclesPerFrame,
      attenuation,
      fitted: fit.fitted[i]!,
      weight,
    })),
    parts,
    middleDegrees: posterior.middleDegrees,
    misfit: fit.misfit,
  };
}
