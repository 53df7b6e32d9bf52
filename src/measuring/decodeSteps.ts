import { frameRequest, rowStepFor, seekWallMs } from './decodeRequest.ts';
import type { DecodeSteps } from './decodeRequest.ts';
import { endedEarly } from './endedEarly.ts';
import type { EndedEarly } from './endedEarly.ts';
import { decodeFrames } from './frames.ts';
import type { Frame, FrameRequest } from './frame.ts';
import type { FramesEnd } from './frames.ts';
import { motionFactor } from './motion.ts';
import {
  isPairStep,
  keysFit,
  readingOnIsCheaper,
  seekExpression,
  seekSeconds,
  throughExpression,
} from './sampling.ts';

interface SteppedFrame {
  readonly frame: Frame;
  /** False for a frame that came only for the motion from the one before. */
  readonly isSample: boolean;
  readonly opensPair: boolean;
  readonly closesPair: boolean;
}

type Steps = AsyncGenerator<SteppedFrame, EndedEarly>;

/** A slow machine decodes the heaviest pictures at two a second. */
const wallMsPerFrame = 500;
const wallMsOfUnknownLength = 1_800_000;
/** From so many key frames on it is known how far apart they are. */
const keysToJudgeBy = 2;
/** Decodes one frame in each step of the plan, in order of time, and the following one where motion is measured. */
export async function* decodeSteps(request: DecodeSteps): Steps {
  switch (request.plan.reading) {
    case 'keys':
      return yield* keySteps(request);
    case 'seek':
      return yield* seekSteps(request);
    case 'through':
      return yield* throughSteps(request, 0);
  }
}

/** One frame at or before a place, and those that follow it up to `maxFrames`. For looking again where it matters. */
export function decodeAt(
  request: Omit<DecodeSteps, 'plan'>,
  place: { readonly startSeconds: number; readonly maxFrames: number; readonly select?: string },
): AsyncGenerator<Frame, FramesEnd> {
  return decodeFrames({ ...frameRequest(request, seekWallMs), ...place, rowStep: rowStepFor(request) });
}

async function* throughSteps(request: DecodeSteps, firstStep: number): Steps {
  const { plan } = request;
  const startSeconds = firstStep * plan.stepSeconds;
  let lastStep = firstStep - 1;
  let pairIsOpen = false;
  await request.wholePairs?.ready();
  const frames = decodeFrames({
    ...frameRequest(request, wallMsThrough(request)),
    ...(firstStep === 0 ? {} : { startSeconds }),
    select: throughExpression(plan, firstStep),
  });
  const end = yield* annotate(frames, (frame) => {
    const step = Math.floor((frame.atSeconds + 0.0001) / plan.stepSeconds);
    const isSample = step > lastStep;
    const opensPair = isSample && isPairStep(plan, step);
    // Where steps are a frame long the following frame is a sample itself.
    const closesPair = pairIsOpen;
    lastStep = step;
    pairIsOpen = opensPair;
    return { frame, isSample, opensPair, closesPair };
  });
  return endedEarly(request, end, {
    lastSeconds: end.lastDecodedSeconds,
    ...(firstStep === 0 ? { framesDecoded: end.framesDecoded } : {}),
  });
}

function wallMsThrough({ plan, framesPerSecond }: Pick<DecodeSteps, 'plan' | 'framesPerSecond'>): number {
  if (plan.steps === undefined) return wallMsOfUnknownLength;
  return seekWallMs + plan.steps * plan.stepSeconds * framesPerSecond * wallMsPerFrame;
}

// One process, and of MP4 and MOV only the key frames are read at all: half the cost of jumping to each.
async function* keySteps(request: DecodeSteps): Steps {
  const { plan } = request;
  const frames = decodeFrames({
    ...frameRequest(request, wallMsThrough(request)),
    keyFramesOnly: true,
    unprobed: true,
    rowStep: rowStepFor(request),
  });
  let count = 0;
  let lastSeconds = 0;
  try {
    for (;;) {
      const next = await frames.next();
      if (next.done === true) {
        if (count < keysToJudgeBy) return yield* seekSteps(request);
        yield* pairSteps(request, lastSeconds);
        return await endedEarly(request, next.value, {
          lastSeconds,
          gapSeconds: (2 * lastSeconds) / (count - 1),
        });
      }
      lastSeconds = next.value.atSeconds;
      count++;
      yield { frame: next.value, isSample: true, opensPair: false, closesPair: false };
      if (count >= keysToJudgeBy && !keysFit(plan, lastSeconds / (count - 1))) break;
    }
  } finally {
    await frames.return(undefined as never);
  }
  return yield* seekSteps(request, lastSeconds);
}

async function* pairSteps(
  request: DecodeSteps,
  lastSeconds: number,
): AsyncGenerator<SteppedFrame, undefined> {
  const { plan } = request;
  for (let step = 0; step < plan.steps!; step++) {
    if (!isPairStep(plan, step) || step * plan.stepSeconds > lastSeconds) continue;
    yield* seekStep(request, step, { unprobed: true, samples: false });
  }
}

// One ffmpeg for each jump: its list of inputs would keep a decoder with all its pictures alive for each of them
// (1.8 GB for 24 jumps in 4K), and its concat reader probes the file anew at each jump.
async function* seekSteps(request: DecodeSteps, seenToSeconds = -1): Steps {
  const { plan } = request;
  let unprobed = true;
  let framesDecoded = 0;
  let seeks = 0;
  let lastSeconds: number | undefined;
  let failed: FramesEnd | undefined;
  for (let step = 0; step < plan.steps!; step++) {
    // What key frames have shown already; a pair has motion to show too.
    if (seekSeconds(plan, step) <= seenToSeconds && !isPairStep(plan, step)) continue;
    if (readingOnIsCheaper(plan, { seeks, framesDecoded, step }, request.framesPerSecond))
      return yield* throughSteps(request, step);
    let end = yield* seekStep(request, step, { unprobed, samples: true });
    if (end.framesDecoded === 0 && unprobed) {
      end = yield* seekStep(request, step, { unprobed: false, samples: true });
      if (end.framesDecoded > 0) unprobed = false;
    }
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

async function* seekStep(
  request: DecodeSteps,
  step: number,
  { unprobed, samples }: { readonly unprobed: boolean; readonly samples: boolean },
): AsyncGenerator<SteppedFrame, FramesEnd> {
  const { plan } = request;
  const hasPair = isPairStep(plan, step);
  const isWhole = hasPair && request.wholePairs?.wanted() === true;
  if (isWhole) await request.wholePairs?.ready();
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

async function* annotate(
  frames: AsyncGenerator<Frame, FramesEnd>,
  describe: (frame: Frame, index: number) => SteppedFrame,
): AsyncGenerator<SteppedFrame, FramesEnd> {
  try {
    for (let index = 0; ; index++) {
      const next = await frames.next();
      if (next.done === true) return next.value;
      yield describe(next.value, index);
    }
  } finally {
    // A consumer that stops early must end ffmpeg too; after its own end this does nothing.
    await frames.return(undefined as never);
  }
}
