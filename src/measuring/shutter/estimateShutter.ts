import type { Facts } from '../../domain/recording.ts';
import type { BlurPoint, MeasuredShutter, ShutterClass, ShutterReason } from '../../domain/shutter.ts';
import type { Frame, FrameGeometry } from '../decoding/frame.ts';
import { sharpnessBeats, isRepeated, planPairLevels, type FramePair, type LumaPlane } from './framePair.ts';
import { judgeTiles, leastTiles, medianSpeed, type Judgement } from './judgeTiles.ts';
import { classProbabilities, detailCycles, reachedCycles, openFractions } from './openingFit.ts';
import { measureTiles, type LevelTiles } from './tileSpectra.ts';

interface ShutterOptions {
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

interface ShutterEstimate extends Omit<MeasuredShutter, 'curve'> {
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
 * @param pairs of one clip, all of one size; at least two, better four to six from different moments
 */
export function estimateShutter(pairs: readonly FramePair[], options: ShutterOptions = {}): ShutterEstimate {
  const pairCount = pairs.length;
  const moving = pairs.filter((pair) => !isRepeated(pair)).map(planPairLevels());
  const byLevel = new Map<number, LevelTiles>();
  const tilesAt: Parameters<typeof judgeTiles>[0] = (level) => {
    const cached = byLevel.get(level);
    if (cached !== undefined) return cached;
    const others = [...byLevel.values()].flatMap(({ tiles }) => tiles);
    const measured = measureTiles(moving, level, others);
    byLevel.set(level, measured);
    return measured;
  };
  const base = (pairs[0]?.first.width ?? 0) >= wideWidth ? 1 : 0;
  const first = tilesAt(base);
  const motionPixels = medianSpeed(first) * 2 ** base;
  const medianMotionPixels = first.tiles.length === 0 ? undefined : motionPixels;
  const clip = { pairCount, repeated: pairCount - moving.length, uneven: sharpnessBeats(pairs) };
  const cannotTell = (reason: ShutterReason): ShutterEstimate => {
    const tileCount = first.tiles.length;
    return { verdict: 'cannot-tell', reason, pairCount, tileCount, medianMotionPixels, evidence: nothing };
  };
  const hindrance = hindranceOf(clip, first, { motionPixels, halved: () => tilesAt(base + 1) });
  if (hindrance !== undefined) return cannotTell(hindrance);
  const judged = judgeTiles(tilesAt, base);
  if (judged === undefined) return cannotTell('too-little-motion');
  const verdict = verdictOf(judged, motionPixels, options);
  const reason = verdict.reason === 'too-few-pairs' ? thinReason(clip, first) : verdict.reason;
  return { ...verdict, reason, pairCount, tileCount: judged.tileCount, medianMotionPixels };
}

/** What was seen of the pairs as they are. */
interface ClipPairs {
  readonly pairCount: number;
  /** Pairs that show one picture twice. */
  readonly repeated: number;
  /** Whether consecutive pictures differ in sharpness: blended ones do. */
  readonly uneven: boolean;
}

/** What forbids an answer before any blur is looked at. */
function hindranceOf(
  clip: ClipPairs,
  first: LevelTiles,
  { motionPixels, halved }: { readonly motionPixels: number; readonly halved: () => LevelTiles },
): ShutterReason | undefined {
  if (clip.pairCount === 0) return 'too-few-pairs';
  if (clip.repeated === clip.pairCount) return 'too-little-motion';
  if (first.placed < leastTiles) return 'too-little-texture';
  if (first.tiles.length < leastTiles) {
    // Noise averages out in a halved picture; motions that differ inside a tile differ there too.
    const { tiles, placed } = halved();
    return tiles.length > placed / 2 ? 'too-noisy' : 'mixed-motions';
  }
  if (motionPixels < leastMovingPixels) return undefined;
  if (clip.repeated > 0) return 'repeated-frames';
  return clip.uneven ? 'uneven-sharpness' : undefined;
}

/** Why there were pairs but not enough tiles to compare them. */
function thinReason({ pairCount, repeated }: ClipPairs, first: LevelTiles): ShutterReason {
  if (pairCount - repeated < 2) return 'too-few-pairs';
  return first.tiles.length < first.placed / 2 ? 'too-noisy' : 'too-little-texture';
}

/** At recorded size; below it no bound on the angle is told from lens and codec. */
const leastMotionPixels = 5.2;
/** About where the first zero of an exposure comes into the frequencies that a camera's files still hold. */
const leastBlurPixels = 3.3;
const leastClassProbability = 0.9;
const widestIntervalStops = 1;

type Verdict = Omit<ShutterEstimate, 'pairCount' | 'tileCount' | 'medianMotionPixels'>;

/** Puts a judgement into a verdict: a number, a bound, or the reason why neither can be said. */
function verdictOf(judged: Judgement, motionPixels: number, options: ShutterOptions): Verdict {
  const { lowDegrees, middleDegrees, highDegrees } = judged.posterior;
  const classes = classProbabilities(judged.posterior, {
    angleDegrees: options.targetAngleDegrees ?? 180,
    toleranceStops: options.toleranceStops ?? 1 / 3,
  });
  const shutterClass = (['short', 'on', 'long'] as const).find(
    (name) => classes[name] >= leastClassProbability,
  );
  const narrow = Math.log2(highDegrees / lowDegrees) < widestIntervalStops;
  const evidence = evidenceOf(judged, classes);
  const reason = judged.objection ?? reasonAgainst(judged, { shutterClass, narrow, motionPixels });
  if (reason !== undefined) return { verdict: 'cannot-tell', reason, evidence };
  return {
    verdict: narrow ? 'measured' : 'short',
    angleDegrees: narrow ? middleDegrees : undefined,
    interval: { lowDegrees: narrow ? lowDegrees : 0, highDegrees },
    class: shutterClass,
    evidence,
  };
}

function reasonAgainst(
  { posterior, fit }: Judgement,
  answer: {
    readonly shutterClass: ShutterClass | undefined;
    readonly narrow: boolean;
    readonly motionPixels: number;
  },
): ShutterReason | undefined {
  const { middleDegrees, highDegrees } = posterior;
  if (highDegrees > 360 * openFractions[openFractions.length - 1]! * 0.98) return 'interval-too-wide';
  if (answer.shutterClass === 'short')
    return answer.motionPixels < leastMotionPixels ? 'too-little-motion' : undefined;
  if (answer.narrow) return undefined;
  if ((middleDegrees / 360) * answer.motionPixels < leastBlurPixels) return 'too-little-motion';
  return reachedCycles(fit) < detailCycles(fit) / 2 ? 'too-compressed' : 'interval-too-wide';
}

function evidenceOf(
  { fit, posterior, parts }: Judgement,
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

const mostPairs = 6;
/** Three pairs of 4K. More of smaller pictures. */
const mostBytes = 50_000_000;

/** Which of the pairs to keep: so many, over the whole clip. Of an unknown number the first. */
function spreadOver(pairCount: number | undefined, room: number): ReadonlySet<number> {
  const step = pairCount === undefined || pairCount <= room ? 1 : (pairCount - 1) / (room - 1);
  return new Set(Array.from({ length: room }, (_, i) => Math.round(i * step)));
}

/**
 * Keeps pairs of consecutive frames for the shutter, which is judged from all of them together. `pairCount`: how many
 * will come; undefined where nobody knows.
 */
export function planShutterPairs(
  facts: Facts,
  { width, height, bitDepth }: FrameGeometry,
  { target, pairCount }: { readonly target: ShutterOptions; readonly pairCount: number | undefined },
) {
  const pairBytes = 2 * width * height * (bitDepth > 8 ? 2 : 1);
  const room = Math.max(2, Math.min(mostPairs, Math.floor(mostBytes / pairBytes)));
  const chosen = spreadOver(pairCount, room);
  const transfer = facts.transfer?.value;
  const planeOf = (frame: Frame): LumaPlane => ({
    width,
    height,
    bitDepth,
    range: facts.range?.value ?? 'narrow',
    transfer,
    atSeconds: frame.atSeconds,
    codes: frame.luma.slice(),
  });
  const pairs: FramePair[] = [];
  let offered = 0;
  let opened: LumaPlane | undefined;
  return {
    /** Whether first() will keep the frame that it is given next. */
    wanted: (): boolean => chosen.has(offered),
    first: (frame: Frame): void => {
      // One whose second frame never came must not meet a frame of another pair.
      opened = chosen.has(offered) ? planeOf(frame) : undefined;
      offered++;
    },
    second: (frame: Frame): void => {
      if (opened !== undefined) pairs.push({ first: opened, second: planeOf(frame) });
      opened = undefined;
    },
    result: (): MeasuredShutter => {
      const { evidence, reason, ...measured } = estimateShutter(pairs, target);
      const curve = measured.verdict === 'cannot-tell' ? undefined : thinned(evidence.points);
      return { ...measured, reason, curve };
    },
  };
}

const mostPoints = 60;

function thinned(points: readonly BlurPoint[]): readonly BlurPoint[] {
  const step = Math.max(1, Math.ceil(points.length / mostPoints));
  return points
    .filter((_, i) => i % step === 0)
    .map(({ cyclesPerFrame, attenuation, fitted }) => ({ cyclesPerFrame, attenuation, fitted }));
}
