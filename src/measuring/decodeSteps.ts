import type { Measurement } from '../domain/measurement.ts';
import type { Program } from '../programs/locate.ts';
import type { OpenMedia } from '../programs/openMedia.ts';
import { decodeFrames } from './frames.ts';
import type { Frame, FrameGeometry, FrameRequest, FramesEnd } from './frames.ts';
import {
  isPairStep,
  readingOnIsCheaper,
  seekExpression,
  seekSeconds,
  throughExpression,
} from './sampling.ts';
import type { SamplingPlan } from './sampling.ts';

export interface DecodeSteps {
  readonly program: Program;
  readonly media: OpenMedia;
  readonly geometry: FrameGeometry;
  readonly plan: SamplingPlan;
  readonly everyFrame: boolean;
  readonly framesPerSecond: number;
  readonly signal?: AbortSignal;
}

interface SteppedFrame {
  readonly frame: Frame;
  /** False for a frame that came only for the motion from the one before. */
  readonly isSample: boolean;
  readonly opensPair: boolean;
  readonly closesPair: boolean;
}

type EndedEarly = Measurement['endedEarly'];

type Steps = AsyncGenerator<SteppedFrame, EndedEarly>;

const seekWallMs = 60_000;
/** A slow machine decodes the heaviest pictures at two a second. */
const wallMsPerFrame = 500;
const wallMsOfUnknownLength = 1_800_000;
/** Sound often outlasts the pictures by less than this. */
const toleratedGapSeconds = 0.5;

/** Decodes one frame in each step of the plan, in order of time, and the following one where motion is measured. */
export async function* decodeSteps(request: DecodeSteps): Steps {
  return yield* request.plan.reading === 'seek' ? seekSteps(request) : throughSteps(request, 0);
}

async function* throughSteps(request: DecodeSteps, firstStep: number): Steps {
  const { plan, everyFrame } = request;
  const startSeconds = firstStep * plan.stepSeconds;
  let lastStep = firstStep - 1;
  let pairIsOpen = false;
  const frames = decodeFrames({
    ...frameRequest(request, wallMsThrough(request)),
    ...(firstStep === 0 ? {} : { startSeconds }),
    ...(everyFrame ? {} : { select: throughExpression(plan, firstStep) }),
  });
  const end = yield* annotate(frames, (frame, index) => {
    const step = everyFrame ? index : Math.floor((frame.atSeconds + 0.0001) / plan.stepSeconds);
    const isSample = everyFrame || step > lastStep;
    const opensPair = isSample && isPairStep(plan, step);
    // Where steps are a frame long the following frame is a sample itself.
    const closesPair = pairIsOpen;
    lastStep = step;
    pairIsOpen = opensPair;
    return { frame, isSample, opensPair, closesPair };
  });
  return endedEarly(request, end, end.lastDecodedSeconds);
}

function wallMsThrough({ plan, framesPerSecond }: DecodeSteps): number {
  if (plan.steps === undefined) return wallMsOfUnknownLength;
  return seekWallMs + plan.steps * plan.stepSeconds * framesPerSecond * wallMsPerFrame;
}

// One ffmpeg for each jump: its list of inputs would keep a decoder with all its pictures alive for each of them
// (1.8 GB for 24 jumps in 4K), and its concat reader probes the file anew at each jump.
async function* seekSteps(request: DecodeSteps): Steps {
  const { plan } = request;
  let unprobed = true;
  let framesDecoded = 0;
  let lastSeconds: number | undefined;
  let failed: FramesEnd | undefined;
  for (let step = 0; step < plan.steps!; step++) {
    if (readingOnIsCheaper(plan, { seeks: step, framesDecoded }, request.framesPerSecond))
      return yield* throughSteps(request, step);
    let end = yield* seekStep(request, step, unprobed);
    if (end.framesDecoded === 0 && unprobed) {
      end = yield* seekStep(request, step, false);
      if (end.framesDecoded > 0) unprobed = false;
    }
    framesDecoded += end.framesDecoded;
    lastSeconds = end.lastDecodedSeconds ?? lastSeconds;
    // One failure alone is a damaged place, or a duration that counts the sound.
    if (end.framesDecoded === 0 && failed !== undefined) return endedEarly(request, end, lastSeconds);
    failed = end.framesDecoded === 0 ? end : undefined;
  }
  return undefined;
}

async function* seekStep(
  request: DecodeSteps,
  step: number,
  unprobed: boolean,
): AsyncGenerator<SteppedFrame, FramesEnd> {
  const { plan } = request;
  const opensPair = isPairStep(plan, step);
  const frames = decodeFrames({
    ...frameRequest(request, seekWallMs),
    startSeconds: seekSeconds(plan, step),
    select: seekExpression(plan),
    maxFrames: opensPair ? 2 : 1,
    unprobed,
  });
  return yield* annotate(frames, (frame, index) => ({
    frame,
    isSample: index === 0,
    opensPair: index === 0 && opensPair,
    closesPair: index > 0,
  }));
}

function frameRequest({ program, media, geometry, signal }: DecodeSteps, wallMs: number): FrameRequest {
  return { program, media, geometry, wallMs, ...(signal === undefined ? {} : { signal }) };
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

function endedEarly(request: DecodeSteps, end: FramesEnd, lastSeconds: number | undefined): EndedEarly {
  const { plan } = request;
  const atSeconds = lastSeconds ?? 0;
  const expectedSeconds = plan.steps === undefined ? undefined : plan.steps * plan.stepSeconds;
  const missingSeconds =
    expectedSeconds === undefined ? 0 : expectedSeconds - atSeconds - 1 / request.framesPerSecond;
  if (end.ended === 'exit' && missingSeconds <= toleratedGapSeconds) return undefined;
  return { atSeconds, reason: reasonFor(end) };
}

function reasonFor(end: FramesEnd): string {
  if (end.ended === 'time-out') return 'decoding took too long and was stopped';
  if (end.ended === 'crash') return 'ffmpeg crashed';
  if (end.complaint !== undefined) return `ffmpeg: ${end.complaint}`;
  return 'the pictures end before the clip does';
}
