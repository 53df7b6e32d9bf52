import type { BlurPoint, MeasuredShutter, ShutterReason } from '../../domain/shutter.ts';
import { median } from '../../domain/statistics.ts';
import { isRepeated, planPairLevels, sharpnessGapStops, type FramePair } from './framePair.ts';
import { judgeTiles, leastFastPixels, leastTiles, medianSpeed, type Judgement } from './judgeTiles.ts';
import { classProbabilities, openFractions } from './openingFit.ts';
import { measureTiles, type LevelTiles } from './tileSpectra.ts';

export interface ShutterOptions {
  readonly targetAngleDegrees?: number;
  /** How far from the target, in stops, an angle may lie and still be `on`. */
  readonly toleranceStops?: number;
}

interface ShutterEvidence {
  readonly points: readonly (BlurPoint & { readonly weight: number })[];
  readonly parts: Judgement['parts'];
  /** The most believable angle even where it is too uncertain to be said; for benches, not for people. */
  readonly middleDegrees?: number;
  readonly misfit?: number;
  readonly classProbabilities?: ReturnType<typeof classProbabilities>;
}

export interface ShutterEstimate extends Omit<MeasuredShutter, 'curve'> {
  readonly evidence: ShutterEvidence;
}

/** Wider pictures are looked at halved first; the finer level is used where the blur is short. */
const wideWidth = 2560;
/** Below it a frame shown twice is a camera that stood still. */
const leastMovingPixels = 1;
const nothing: ShutterEvidence = { points: [], parts: [] };

/**
 * Shutter angle of a clip from the motion blur in pairs of its consecutive frames. The angle rests on the assumption
 * that the shutter opens and closes at once and that the camera moved evenly while it was open.
 *
 * @param pairs of one clip, all of one size, from where it moves most; at least two, better four to eight
 */
export function estimateShutter(pairs: readonly FramePair[], options: ShutterOptions = {}): ShutterEstimate {
  const pairCount = pairs.length;
  const unlike = pairs.filter((pair) => !isRepeated(pair));
  const gaps = unlike.map(sharpnessGapStops);
  const even = unlike.filter((_, i) => gaps[i]! <= toleratedGapStops).map(planPairLevels());
  const byLevel = new Map<number, LevelTiles>();
  const tilesAt: Parameters<typeof judgeTiles>[0] = (level) => {
    const cached = byLevel.get(level);
    if (cached !== undefined) return cached;
    const others = [...byLevel.values()].flatMap(({ tiles }) => tiles);
    const measured = measureTiles(even, level, others);
    byLevel.set(level, measured);
    return measured;
  };
  const widthPixels = pairs[0]?.first.width ?? 0;
  const base = widthPixels >= wideWidth ? 1 : 0;
  const clip: ClipPairs = {
    pairCount,
    widthPixels,
    repeated: pairCount - unlike.length,
    usable: even.length,
    isMixed: (median(gaps) ?? 0) > mixedGapStops,
  };
  const first = tilesAt(base);
  const motionPixels = medianSpeed(first) * 2 ** base;
  const medianMotionPixels = first.tiles.length === 0 ? undefined : motionPixels;
  const cannotTell = (reason: ShutterReason): ShutterEstimate => {
    const tileCount = first.tiles.length;
    return { verdict: 'cannot-tell', reason, pairCount, tileCount, medianMotionPixels, evidence: nothing };
  };
  const hindrance = hindranceOf(clip, first, { motionPixels, halved: () => tilesAt(base + 1) });
  if (hindrance !== undefined) return cannotTell(hindrance);
  const judged = judgeTiles(tilesAt, base);
  if (judged === undefined) return cannotTell('too-little-motion');
  return { ...verdictOf(judged, options), pairCount, tileCount: judged.tileCount, medianMotionPixels };
}

/**
 * Stops of gradient energy between the pictures of a pair. Of footage as cameras wrote it 4 to 19 of 100 pairs lie
 * beyond the first, a jerk or a coarser frame, and half of all below 0.1; blended frames from 24 to 30 a second have 0.4
 * to 0.5 in every pair.
 */
const toleratedGapStops = 0.35;
const mixedGapStops = 0.3;
/** One repeated pair of so many is a frame that was lost; more are a changed frame rate. */
const pairsPerLoss = 8;
const leastPairs = 2;
/** Where pictures moved by more, tiles of them often left the picture: the few that were followed tell why. */
const fastestShareOfWidth = 1 / 50;

/** What was seen of the pairs as they are. */
interface ClipPairs {
  readonly pairCount: number;
  readonly widthPixels: number;
  /** Pairs that show one picture twice. */
  readonly repeated: number;
  /** The others but those whose pictures differ in sharpness. */
  readonly usable: number;
  /** Whether consecutive pictures as a rule differ in sharpness: blended ones do. */
  readonly isMixed: boolean;
}

/** What forbids an answer before any blur is looked at. */
function hindranceOf(
  { pairCount, widthPixels, repeated, usable, isMixed }: ClipPairs,
  first: LevelTiles,
  { motionPixels, halved }: { readonly motionPixels: number; readonly halved: () => LevelTiles },
): ShutterReason | undefined {
  if (pairCount === 0) return 'too-few-pairs';
  if (repeated === pairCount) return 'too-little-motion';
  if (isMixed) return 'uneven-sharpness';
  if (usable < leastPairs) return repeated > 0 ? 'repeated-frames' : 'too-few-pairs';
  if (first.placed < leastTiles) return 'too-little-texture';
  if (first.tiles.length < leastTiles) {
    if (motionPixels > fastestShareOfWidth * widthPixels) return 'too-much-motion';
    // Noise averages out in a halved picture; motions that differ inside a tile differ there too.
    const { tiles, placed } = halved();
    return tiles.length > placed / 2 ? 'too-noisy' : 'mixed-motions';
  }
  if (motionPixels < leastMovingPixels) return undefined;
  return repeated * pairsPerLoss > pairCount ? 'repeated-frames' : undefined;
}

/**
 * About where the first zero of an exposure comes into the frequencies that a camera's files still hold: below it their end
 * is taken for one, and only a bound is told.
 */
const leastBlurPixels = 3;
const leastClassProbability = 0.9;
/** In the model that is the less sure. */
const leastOtherProbability = 0.5;
const widestIntervalStops = 1;
/** Where grain fills the zeros, a second one tells them from a plateau. */
const leastFilledZeros = 2;
/** Two models that fail differently and say nearly the same are believed to a number. */
const closeStops = 0.25;
/** A blur longer than a frame is no blur of motion; rounding and the scatter of the fit apart. */
const wholeFrameDegrees = 370;
const largestDegrees = 360 * openFractions.at(-1)! * 0.98;

type Verdict = Omit<ShutterEstimate, 'pairCount' | 'tileCount' | 'medianMotionPixels'>;

/** Puts a judgement into a verdict: a number, a bound, or the reason why neither can be said. */
function verdictOf(
  judged: Judgement,
  { targetAngleDegrees: angleDegrees = 180, toleranceStops = 1 / 3 }: ShutterOptions,
): Verdict {
  const target = { angleDegrees, toleranceStops };
  const [one, other] = [judged.narrower.posterior, judged.wider.posterior];
  const [classes, others] = [classProbabilities(one, target), classProbabilities(other, target)];
  const evidence = evidenceOf(judged, classes);
  if (judged.objection !== undefined) return { verdict: 'cannot-tell', reason: judged.objection, evidence };
  if (Math.min(one.middleDegrees, other.middleDegrees) > wholeFrameDegrees)
    return { verdict: 'cannot-tell', reason: 'too-compressed', evidence };
  const lowDegrees = Math.min(one.lowDegrees, other.middleDegrees);
  const highDegrees = Math.max(one.highDegrees, other.middleDegrees);
  const apartStops = Math.abs(Math.log2(one.middleDegrees / other.middleDegrees));
  const atMostDegrees = Math.max(one.atMostDegrees, other.atMostDegrees);
  const isFast = judged.fastPlaces >= leastTiles;
  const given = (['short', 'on', 'long'] as const).find(
    (name) => classes[name] >= leastClassProbability && others[name] >= leastOtherProbability,
  );
  if (
    blurPixelsOf(judged) >= leastBlurPixels &&
    judged.zerosSeen >= (judged.narrower.fit.isFilled ? leastFilledZeros : 0) &&
    highDegrees < largestDegrees &&
    apartStops < closeStops &&
    Math.log2(highDegrees / lowDegrees) < widestIntervalStops
  ) {
    if (!isFast) return { verdict: 'cannot-tell', reason: silenceOf(judged, isFast), evidence };
    return {
      verdict: 'measured',
      angleDegrees: one.middleDegrees,
      interval: { lowDegrees, highDegrees },
      class: given,
      evidence,
    };
  }
  const interval = { highDegrees: atMostDegrees };
  const ratio = 2 ** toleranceStops;
  if (isFast && atMostDegrees < angleDegrees / ratio)
    return { verdict: 'short', interval, class: 'short', evidence };
  const reason = silenceOf(judged, isFast);
  return isFast && atMostDegrees <= angleDegrees * ratio
    ? { verdict: 'cannot-tell', reason, interval, evidence }
    : { verdict: 'cannot-tell', reason, evidence };
}

/** Why a blur that nothing speaks against says too little. */
function silenceOf(judged: Judgement, isFast: boolean): ShutterReason {
  if (!isFast && judged.narrower.fit.levelPixelsPerFrame >= leastFastPixels) return 'too-little-texture';
  return !isFast || blurPixelsOf(judged) < leastBlurPixels ? 'too-little-motion' : 'interval-too-wide';
}

function blurPixelsOf({ narrower: { fit, posterior } }: Judgement): number {
  return (posterior.middleDegrees / 360) * fit.levelPixelsPerFrame;
}

function evidenceOf(
  { narrower: { fit, posterior }, parts }: Judgement,
  probabilities: ReturnType<typeof classProbabilities>,
): ShutterEvidence {
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
    classProbabilities: probabilities,
  };
}
