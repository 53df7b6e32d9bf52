import { decodeFrames, jumpWallMs, reasonFor, rowStepFor, type FramesEnd } from './decodeFrames.ts';
import type { Frame, FrameRequest } from './frame.ts';
import type { ClipDecoding, EndedEarly, Look, LookedAt, PictureReader, Pictures, Run } from './look.ts';
import {
  earlySeconds,
  isPairStep,
  isWorthJumping,
  jumpExpression,
  jumpSeconds,
  readingOnIsCheaper,
  stepAt,
  throughExpression,
  type SamplingPlan,
} from './sampling.ts';

// For files without a plain table of pictures: Matroska, MPEG-TS, MXF, AVI, fragments. One ffmpeg for each jump: its list
// of inputs would keep a decoder with all its pictures alive for each of them (1.8 GB for 24 jumps in 4K), and its concat
// reader probes the file anew at each jump.

/** Looks at pictures by jumping to them, or reads through where that costs less. */
export function jumpToPictures(clip: ClipDecoding): PictureReader {
  async function* look({ plan, everyKey, stretches, runs, moments, pairShrunkBy }: Look): Pictures {
    let endedEarly: EndedEarly;
    if (plan !== undefined) {
      const steps: StepsRequest = { ...clip, plan, pairShrunkBy };
      if (everyKey === true) endedEarly = yield* keySteps(steps);
      else if (isWorthJumping(plan, clip.framesPerSecond)) endedEarly = yield* jumpSteps(steps);
      else endedEarly = yield* throughSteps(steps, 0);
    }
    for (const { fromSeconds: startSeconds, keysOnly } of stretches ?? []) {
      const select = keysOnly === true ? undefined : `gte(t,${-earlySeconds})`;
      yield* annotate(decodeAt(clip, { startSeconds, maxFrames: 1, select }), sampled);
    }
    for (const run of runs ?? []) yield* decodeRun(clip, run);
    for (const { atSeconds: startSeconds, pairs } of moments ?? []) {
      const place = { startSeconds, maxFrames: pairs + 1, select: `gte(t,${-earlySeconds})`, rowStep: 1 };
      yield* annotate(decodeAt(clip, place), (frame, i) => {
        return { frame, isSample: false, opensPair: i < pairs, closesPair: i > 0 };
      });
    }
    return endedEarly;
  }
  return { look, isQuick: () => false };
}

interface StepsRequest extends ClipDecoding {
  readonly plan: SamplingPlan;
  readonly pairShrunkBy: number | undefined;
}

/** Decodes all frames from a step on, and gives those that the plan asks for. */
async function* throughSteps(request: StepsRequest, firstStep: number): Pictures {
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
  return jumpWallMs + plan.steps * plan.stepSeconds * framesPerSecond * wallMsPerFrame;
}

/** Says of each frame what it is for. `index` counts from 0. */
async function* annotate(
  frames: AsyncGenerator<Frame, FramesEnd>,
  describe: (frame: Frame, index: number) => LookedAt,
): AsyncGenerator<LookedAt, FramesEnd> {
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

function sampled(frame: Frame): LookedAt {
  return { frame, isSample: true, opensPair: false, closesPair: false };
}

/** Decodes all key frames, and then jumps to the pairs. */
async function* keySteps(request: StepsRequest): Pictures {
  const { plan } = request;
  if (plan.steps === undefined) return yield* throughSteps(request, 0);
  let count = 0;
  let lastSeconds = 0;
  const end = yield* annotate(
    decodeFrames({
      ...request,
      wallMs: wallMsThrough(request),
      keyFramesOnly: true,
      rowStep: rowStepFor(request.geometry),
    }),
    (frame) => {
      count++;
      lastSeconds = frame.atSeconds;
      return sampled(frame);
    },
  );
  if (count < plan.steps) return yield* jumpSteps(request);
  const way: JumpWay = { samples: false, unprobed: true };
  for (let step = 0; step < plan.steps && step * plan.stepSeconds <= lastSeconds; step++)
    if (isPairStep(plan, step)) yield* jumpStep(request, step, way);
  return endedEarly(request, end, { lastSeconds, gapSeconds: (2 * lastSeconds) / Math.max(1, count - 1) });
}

/** Jumps to each step, or reads on where that turns out to be cheaper. */
async function* jumpSteps(request: StepsRequest): Pictures {
  const { plan } = request;
  const way: JumpWay = { samples: true, unprobed: true };
  let framesDecoded = 0;
  let lastSeconds: number | undefined;
  let failed: FramesEnd | undefined;
  for (let step = 0; step < plan.steps!; step++) {
    if (readingOnIsCheaper(plan, { jumps: step, framesDecoded }, request.framesPerSecond))
      return yield* throughSteps(request, step);
    const end = yield* jumpStep(request, step, way);
    framesDecoded += end.framesDecoded;
    lastSeconds = end.lastDecodedSeconds ?? lastSeconds;
    // One failure alone is a damaged place, or a duration that counts the sound.
    if (end.framesDecoded === 0 && failed !== undefined)
      return await endedEarly(request, end, { lastSeconds });
    failed = end.framesDecoded === 0 ? end : undefined;
  }
  return undefined;
}

interface JumpWay {
  /** Whether the first frame of each step is to be measured. */
  readonly samples: boolean;
  /** Without ffmpeg's own look through the file; set to false where it turns out to be needed. */
  unprobed: boolean;
}

async function* jumpStep(
  request: StepsRequest,
  step: number,
  way: JumpWay,
): AsyncGenerator<LookedAt, FramesEnd> {
  const end = yield* jump(request, step, way);
  if (end.framesDecoded > 0 || !way.unprobed) return end;
  const probedEnd = yield* jump(request, step, { ...way, unprobed: false });
  if (probedEnd.framesDecoded > 0) way.unprobed = false;
  return probedEnd;
}

async function* jump(
  request: StepsRequest,
  step: number,
  { unprobed, samples }: Readonly<JumpWay>,
): AsyncGenerator<LookedAt, FramesEnd> {
  const { plan, pairShrunkBy } = request;
  const select = jumpExpression(plan);
  const hasPair = isPairStep(plan, step) && pairShrunkBy !== undefined;
  const frames = decodeFrames({
    ...request,
    wallMs: jumpWallMs,
    startSeconds: jumpSeconds(plan, step),
    select,
    unprobed,
    rowStep: rowStepFor(request.geometry),
    maxFrames: 1,
    pairs: hasPair ? { shrunkBy: pairShrunkBy, select, maxFrames: 2 } : undefined,
  });
  let paired = 0;
  return yield* annotate(frames, (frame) => {
    const place = frame.lumaShrunkBy === undefined ? undefined : paired++;
    const isSample = samples && place === undefined;
    return { frame, isSample, opensPair: place === 0, closesPair: place === 1 };
  });
}

/** One frame at or before a place, and those that follow it up to `maxFrames`. */
async function* decodeAt(
  clip: ClipDecoding,
  place: Pick<FrameRequest, 'select' | 'rowStep'> & {
    readonly startSeconds: number;
    readonly maxFrames: number;
  },
): AsyncGenerator<Frame, FramesEnd> {
  const request: FrameRequest = {
    ...clip,
    ...place,
    wallMs: jumpWallMs,
    rowStep: place.rowStep ?? rowStepFor(clip.geometry),
  };
  const end = yield* decodeFrames({ ...request, unprobed: true });
  return end.framesDecoded > 0 ? end : yield* decodeFrames(request);
}

async function* decodeRun(clip: ClipDecoding, run: Run): AsyncGenerator<LookedAt> {
  const { startSeconds, fromKey, everySeconds, mostFrames: maxFrames, endSeconds } = run;
  const apart = `isnan(prev_selected_t)+gte(t-prev_selected_t,${everySeconds - earlySeconds})`;
  const select = fromKey === true ? undefined : `gte(t,${-earlySeconds})*(${apart})`;
  for await (const frame of decodeAt(clip, { startSeconds, maxFrames, select })) {
    if (frame.atSeconds >= endSeconds) return;
    yield { frame, isSample: false, opensPair: false, closesPair: false, run };
    if (run.isEnough?.() === true) return;
  }
}

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
  const atEnd = decodeFrames({
    ...request,
    wallMs: jumpWallMs,
    startSeconds: endSeconds,
    select: '0',
    rowStep: rowStepFor(request.geometry),
  });
  for (;;) {
    const next = await atEnd.next();
    if (next.done === true) return next.value.framesDecoded > 0 && next.value.complaint === undefined;
  }
}
