import { motionFactor } from '../motion/motion.ts';
import { frameRequest, rowStepFor, seekWallMs } from './decodeRequest.ts';
import type { DecodeSteps } from './decodeRequest.ts';
import { endedEarly } from './endedEarly.ts';
import type { FrameRequest } from './frame.ts';
import { decodeFrames } from './frames.ts';
import type { FramesEnd } from './frames.ts';
import { isPairStep, readingOnIsCheaper, seekExpression, seekSeconds } from './sampling.ts';
import { annotate } from './steppedFrame.ts';
import type { SteppedFrame, Steps } from './steppedFrame.ts';
import { throughSteps } from './throughSteps.ts';

// One ffmpeg for each jump: its list of inputs would keep a decoder with all its pictures alive for each of them
// (1.8 GB for 24 jumps in 4K), and its concat reader probes the file anew at each jump.

/** Jumps to each step, or reads on where that turns out to be cheaper. */
export async function* seekSteps(request: DecodeSteps, seenToSeconds = -1): Steps {
  const { plan } = request;
  const way: SeekWay = { samples: true, unprobed: true };
  let framesDecoded = 0;
  let seeks = 0;
  let lastSeconds: number | undefined;
  let failed: FramesEnd | undefined;
  for (let step = 0; step < plan.steps!; step++) {
    // What key frames have shown already; a pair has motion to show too.
    if (seekSeconds(plan, step) <= seenToSeconds && !isPairStep(plan, step)) continue;
    if (readingOnIsCheaper(plan, { seeks, framesDecoded, step }, request.framesPerSecond))
      return yield* throughSteps(request, step);
    const end = yield* seekStep(request, step, way);
    seeks++;
    framesDecoded += end.framesDecoded;
    lastSeconds = end.lastDecodedSeconds ?? lastSeconds;
    // One failure alone is a damaged place, or a duration that counts the sound.
    if (end.framesDecoded === 0 && failed !== undefined)
      return await endedEarly(request, end, { lastSeconds });
    failed = end.framesDecoded === 0 ? end : undefined;
  }
  return undefined;
}

/** Jumps to the steps that have a pair, for its sake and, with `samples`, for a sample too. */
export async function* seekPairs(
  request: DecodeSteps,
  lastSeconds: number,
  { samples }: Pick<SeekWay, 'samples'>,
): AsyncGenerator<SteppedFrame, undefined> {
  const { plan } = request;
  const way: SeekWay = { samples, unprobed: true };
  // Nothing was seen of a last step that is looked at only here.
  const toSeconds = samples ? lastSeconds + plan.stepSeconds : lastSeconds;
  for (let step = 0; step < plan.steps! && step * plan.stepSeconds <= toSeconds; step++)
    if (isPairStep(plan, step)) yield* seekStep(request, step, way);
}

interface SeekWay {
  /** Whether the first frame of each step is to be measured. */
  readonly samples: boolean;
  /** Without ffmpeg's own look through the file; set to false where it turns out to be needed. */
  unprobed: boolean;
}

async function* seekStep(
  request: DecodeSteps,
  step: number,
  way: SeekWay,
): AsyncGenerator<SteppedFrame, FramesEnd> {
  const end = yield* jump(request, step, way);
  if (end.framesDecoded > 0 || !way.unprobed) return end;
  const probedEnd = yield* jump(request, step, { ...way, unprobed: false });
  if (probedEnd.framesDecoded > 0) way.unprobed = false;
  return probedEnd;
}

async function* jump(
  request: DecodeSteps,
  step: number,
  { unprobed, samples }: Readonly<SeekWay>,
): AsyncGenerator<SteppedFrame, FramesEnd> {
  const { plan } = request;
  const hasPair = isPairStep(plan, step);
  const isWhole = hasPair && request.wholePairs?.wanted() === true;
  const detail = hasPair ? pairDetail(request, { samples, isWhole }) : sampleDetail(request);
  const frames = decodeFrames({
    ...frameRequest(request, seekWallMs),
    startSeconds: seekSeconds(plan, step),
    select: seekExpression(plan),
    unprobed,
    ...detail,
  });
  let paired = 0;
  return yield* annotate(frames, (frame, index) => {
    const ofPair = hasPair && (index > 0 || detail.pairShrunkBy === undefined);
    const place = ofPair ? paired++ : undefined;
    return { frame, isSample: samples && index === 0, opensPair: place === 0, closesPair: place === 1 };
  });
}

type FrameDetail = Pick<FrameRequest, 'rowStep' | 'lumaShrunkBy' | 'pairShrunkBy' | 'maxFrames'>;

function sampleDetail(request: DecodeSteps): FrameDetail {
  return { rowStep: rowStepFor(request), maxFrames: 1 };
}

/** What motion is measured in needs every row; a sample needs fewer of them, but colour too. */
function pairDetail(
  request: DecodeSteps,
  { samples, isWhole }: { readonly samples: boolean; readonly isWhole: boolean },
): FrameDetail {
  const { width, bitDepth } = request.geometry;
  // Grey of other depths is not known to every build of ffmpeg.
  if (![8, 10, 12].includes(bitDepth)) return { maxFrames: 2 };
  const shrunkBy = isWhole ? 1 : motionFactor(width);
  return samples
    ? { ...sampleDetail(request), pairShrunkBy: shrunkBy }
    : { lumaShrunkBy: shrunkBy, maxFrames: 2 };
}
