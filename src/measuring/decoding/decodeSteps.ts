import type { Measurement } from '../../domain/measurement.ts';
import { canCopyPackets } from '../../programs/decodeArguments.ts';
import { motionFactor } from '../motion/motion.ts';
import { decodeFrames, rowStepFor, seekWallMs, type ClipDecoding, type FramesEnd } from './decodeFrames.ts';
import type { Frame, FrameRequest } from './frame.ts';
import {
  isPairStep,
  keysFit,
  laterKeysExpression,
  readingOnIsCheaper,
  seekExpression,
  seekSeconds,
  stepAt,
  throughExpression,
  type SamplingPlan,
} from './sampling.ts';

interface StepsRequest extends ClipDecoding {
  readonly plan: SamplingPlan;
  /** Whether the next pair is wanted with every pixel, not just as motion needs it. */
  readonly wantsEveryPixel?: () => boolean;
}

/** A frame, and what it was decoded for. */
interface SteppedFrame {
  readonly frame: Frame;
  /** False for a frame that came only for the motion from the one before. */
  readonly isSample: boolean;
  readonly opensPair: boolean;
  readonly closesPair: boolean;
}

type Steps = AsyncGenerator<SteppedFrame, EndedEarly>;

/** Decodes one frame in each step of the plan, in order of time, and the following one where motion is measured. */
export function decodeSteps(request: StepsRequest): Steps {
  return request.plan.reading === 'keys' ? keySteps(request) : throughSteps(request, 0);
}

/** Decodes all frames from a step on, and gives those that the plan asks for. */
async function* throughSteps(request: StepsRequest, firstStep: number): Steps {
  const { plan } = request;
  let lastStep = firstStep - 1;
  let pairIsOpen = false;
  const frames = decodeFrames({
    ...request,
    wallMs: wallMsThrough(request),
    startSeconds: firstStep === 0 ? undefined : firstStep * plan.stepSeconds,
    select: throughExpression(plan, firstStep),
  });
  const end = yield* annotate(frames, (frame) => {
    const step = stepAt(plan, frame.atSeconds);
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
    framesDecoded: firstStep === 0 ? end.framesDecoded : undefined,
  });
}

/** A slow machine decodes the heaviest pictures at two a second. */
const wallMsPerFrame = 500;
const wallMsOfUnknownLength = 1_800_000;

/** Time enough to decode every frame of a clip. */
function wallMsThrough({ plan, framesPerSecond }: StepsRequest): number {
  if (plan.steps === undefined) return wallMsOfUnknownLength;
  return seekWallMs + plan.steps * plan.stepSeconds * framesPerSecond * wallMsPerFrame;
}

/** Says of each frame what it is for. `index` counts from 0. */
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

/** From so many key frames on their distance can be told. */
const keysToJudgeBy = 2;

// One process decodes them all, and of MP4 and MOV only the key frames are read at all. A key frame costs less than half
// of a jump: that starts ffmpeg, and decodes pictures that come earlier in the file than on the screen.

/** Decodes key frames, and then jumps to the pairs; jumps to all that is left where key frames do not fit. */
async function* keySteps(request: StepsRequest): Steps {
  const { plan, program } = request;
  const isThinned = plan.mostKeyFrames !== undefined;
  if (isThinned && !canCopyPackets(program)) return yield* seekSteps(request);
  const frames = decodeFrames({
    ...request,
    wallMs: wallMsThrough(request),
    keyFramesOnly: true,
    keysLeftOut: isThinned ? laterKeysExpression(plan) : undefined,
    unprobed: true,
    rowStep: rowStepFor(request),
  });
  let count = 0;
  let lastSeconds = 0;
  let lastStep = -1;
  try {
    for (;;) {
      const next = await frames.next();
      if (next.done === true) {
        if (count < keysToJudgeBy) return yield* seekSteps(request);
        yield* seekPairs(request, lastSeconds, { samples: isThinned });
        // Steps with a pair were left out: without them the gaps are as the key frames lie.
        const share = isThinned ? 1 - 1 / plan.stepsPerPair : 1;
        return await endedEarly(request, next.value, {
          lastSeconds,
          gapSeconds: (2 * share * lastSeconds) / (count - 1),
        });
      }
      lastSeconds = next.value.atSeconds;
      count++;
      const step = stepAt(plan, lastSeconds);
      // The second of all shows only how far apart they are.
      if (!isThinned || step > lastStep)
        yield { frame: next.value, isSample: true, opensPair: false, closesPair: false };
      lastStep = step;
      if (count >= keysToJudgeBy && !keysFit(plan, lastSeconds / (count - 1))) break;
    }
  } finally {
    await frames.return(undefined as never);
  }
  return yield* seekSteps(request, lastSeconds);
}

// One ffmpeg for each jump: its list of inputs would keep a decoder with all its pictures alive for each of them
// (1.8 GB for 24 jumps in 4K), and its concat reader probes the file anew at each jump.

/** Jumps to each step, or reads on where that turns out to be cheaper. */
async function* seekSteps(request: StepsRequest, seenToSeconds = -1): Steps {
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
async function* seekPairs(
  request: StepsRequest,
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
  request: StepsRequest,
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
  request: StepsRequest,
  step: number,
  { unprobed, samples }: Readonly<SeekWay>,
): AsyncGenerator<SteppedFrame, FramesEnd> {
  const { plan } = request;
  const hasPair = isPairStep(plan, step);
  const detail = hasPair ? pairDetail(request, samples) : { rowStep: rowStepFor(request), maxFrames: 1 };
  const frames = decodeFrames({
    ...request,
    wallMs: seekWallMs,
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

/** What motion is measured in needs every row; a sample needs fewer of them, but colour too. */
function pairDetail(request: StepsRequest, samples: boolean): FrameDetail {
  const { width, bitDepth } = request.geometry;
  // Grey of other depths is not known to every build of ffmpeg.
  if (![8, 10, 12].includes(bitDepth)) return { maxFrames: 2 };
  const shrunkBy = request.wantsEveryPixel?.() === true ? 1 : motionFactor(width);
  return samples
    ? { rowStep: rowStepFor(request), maxFrames: 1, pairShrunkBy: shrunkBy }
    : { lumaShrunkBy: shrunkBy, maxFrames: 2 };
}

type EndedEarly = Measurement['endedEarly'];

/** Sound often outlasts the pictures by less than this. */
const toleratedGapSeconds = 0.5;
/** Share of the frames in the index: edit lists and the first frames of an open group may be left out. */
const mostlyThere = 0.9;

interface Reached {
  readonly lastSeconds: number | undefined;
  readonly gapSeconds?: number;
  /** Of a clip that was decoded from its start. */
  readonly framesDecoded?: number;
}

/** Whether the pictures of a clip ended before they should have, and why. */
async function endedEarly(request: StepsRequest, end: FramesEnd, reached: Reached): Promise<EndedEarly> {
  const { plan } = request;
  const { lastSeconds: atSeconds = 0, gapSeconds = 0 } = reached;
  const expectedSeconds = plan.steps && plan.steps * plan.stepSeconds;
  const missingSeconds = expectedSeconds ? expectedSeconds - atSeconds - 1 / request.framesPerSecond : 0;
  if (end.ended === 'exit' && missingSeconds <= toleratedGapSeconds + gapSeconds) return undefined;
  const isSilent = end.ended === 'exit' && end.exitCode === 0 && end.complaint === undefined;
  if (isSilent && (await showsItsEnd(request, expectedSeconds!, reached.framesDecoded))) return undefined;
  return { atSeconds, ...reasonFor(end) };
}

/**
 * Whether the pictures of a clip are all there although the last one is shown long before the clip ends: it may last
 * until then, or the sound goes on. Of what was cut off, a jump to the end finds nothing.
 */
async function showsItsEnd(
  request: StepsRequest,
  endSeconds: number,
  framesDecoded: number | undefined,
): Promise<boolean> {
  if (framesDecoded !== undefined && request.frameCount !== undefined) {
    if (framesDecoded >= request.frameCount) return true;
    if (framesDecoded < mostlyThere * request.frameCount) return false;
  }
  const jump = decodeFrames({
    ...request,
    wallMs: seekWallMs,
    startSeconds: endSeconds,
    select: '0',
    rowStep: rowStepFor(request),
  });
  for (;;) {
    const next = await jump.next();
    if (next.done === true) return next.value.framesDecoded > 0 && next.value.complaint === undefined;
  }
}

function reasonFor(end: FramesEnd): Omit<NonNullable<EndedEarly>, 'atSeconds'> {
  if (end.ended === 'time-out') return { reason: 'decoding took too long and was stopped' };
  if (end.ended === 'crash') return { reason: 'ffmpeg crashed' };
  if (end.complaint !== undefined)
    return { reason: 'what follows is damaged or missing', detail: `ffmpeg: ${end.complaint}` };
  return { reason: 'the pictures end before the clip does' };
}
