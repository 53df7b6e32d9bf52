import { HalfturnError } from '../domain/halfturnError.ts';
import type { FrameMeasure, Measurement } from '../domain/measurement.ts';
import type { Facts, Track } from '../domain/recording.ts';
import { median } from '../domain/statistics.ts';
import type { Program } from '../programs/run.ts';
import type { OpenMedia } from '../programs/openMedia.ts';
import { clippedFractionOf } from './highlights/pictureClipping.ts';
import { lookCloser, measureExtremes, clippedSpans } from './closerLook.ts';
import { decodeSteps } from './decoding/decodeSteps.ts';
import { flickerAt, mayBeLampLight } from './flickerMeter.ts';
import { planFieldMoments } from './fieldMoments.ts';
import { planFrameMeter, type FrameMeter } from './frameMeter.ts';
import type { ClipDecoding } from './decoding/decodeFrames.ts';
import type { Frame, FrameGeometry } from './decoding/frame.ts';
import { planMotionPairs } from './motion/motion.ts';
import { planShutterPairs } from './shutter/estimateShutter.ts';
import { pairStepsOf, planSampling, type MeasureMode, type SamplingPlan } from './decoding/sampling.ts';

import { summarise } from './pictureSummary.ts';

interface ClipRequest {
  readonly program: Program;
  readonly media: OpenMedia;
  readonly facts: Facts;
  readonly mode: MeasureMode;
  /** Frames that clip more than this fraction of their area make up the clipped spans. */
  readonly clippedFlagFraction: number;
  readonly signal?: AbortSignal;
  /** What the camera recorded over time: its extremes are looked at too. */
  readonly track?: Track;
  /** Sees every looked-at frame; its arrays are overwritten afterwards. */
  readonly onFrame?: (frame: Frame) => void;
  /** Asks for the shutter angle that the motion blur tells, and names the angle that it will be held against. */
  readonly shutterTarget?: { readonly targetAngleDegrees: number; readonly toleranceStops: number };
}

const assumedFramesPerSecond = 30;

/**
 * Measures the pictures of one clip: clipping, level and motion, from one pass over it. Where decoding ends early,
 * what was measured up to there stands; a clip without a single picture is a HalfturnError.
 */
export async function measureClip(request: ClipRequest): Promise<Measurement> {
  const { facts, mode } = request;
  const geometry = storedGeometry(facts);
  const durationSeconds = facts.durationSeconds?.value;
  const { program, media, signal } = request;
  const frameCount = facts.frameCount?.value;
  const rate = facts.playbackFrameRate?.value ?? facts.frameRate?.value;
  const recordedRate = rate && rate.numerator / rate.denominator;
  const plan = planSampling({ durationSeconds, framesPerSecond: recordedRate, frameCount }, mode);
  const framesPerSecond = recordedRate ?? assumedFramesPerSecond;
  const decoding: ClipDecoding = { program, media, geometry, framesPerSecond, frameCount, signal };
  const meter = planFrameMeter(facts, geometry);
  const motion = planMotionPairs(geometry, {
    framesPerSecond,
    rotationDegrees: facts.rotationDegrees?.value ?? 0,
  });
  const { endedEarly, shutter, scan } = await measureSteps(request, { decoding, plan, meter, motion });
  if (endedEarly === undefined && mode === 'sampled')
    await measureExtremes(decoding, request.track, { meter, nearSeconds: plan.stepSeconds / 4 });
  const flickerStops =
    plan.steps === undefined || !mayBeLampLight(facts)
      ? undefined
      : await flickerAt(decoding, facts, (plan.steps * plan.stepSeconds) / 2);
  const { frames, ceiling, range } = meter.result();
  if (frames.length === 0) throw noPicture(endedEarly, request.media.transient);
  const gaps = frames.slice(1).map(({ atSeconds }, i) => atSeconds - frames[i]!.atSeconds);
  const lookedAtTo = endedEarly?.atSeconds ?? durationSeconds ?? 0;
  const closer =
    endedEarly !== undefined
      ? frames
      : await lookCloser(decoding, frames, {
          flagFraction: request.clippedFlagFraction,
          clippedFraction: (frame) => clippedFractionOf(frame, range.name, ceiling),
        });
  const spans = clippedSpans(closer, request.clippedFlagFraction, lookedAtTo);
  return {
    ...summarise(withMotion(frames, motion.overTime()), ceiling, spans),
    rangeInUse: range,
    samplingStepSeconds: median(gaps) ?? plan.stepSeconds,
    ...motion.result(),
    flickerStops,
    shutter,
    scan,
    endedEarly,
  };
}

interface Steps {
  readonly decoding: ClipDecoding;
  readonly plan: SamplingPlan;
  readonly meter: FrameMeter;
  readonly motion: ReturnType<typeof planMotionPairs>;
}

/** Decodes the planned frames, hands each to what measures it, and tells the shutter from the motion blur. */
async function measureSteps(
  { facts, shutterTarget: target, onFrame }: ClipRequest,
  { decoding, plan, meter, motion }: Steps,
): Promise<Pick<Measurement, 'endedEarly' | 'shutter' | 'scan'>> {
  const blur = target && planShutterPairs(facts, decoding.geometry, { target, pairCount: pairStepsOf(plan) });
  const fields = facts.scan && planFieldMoments(decoding.framesPerSecond);
  const steps = decodeSteps({ ...decoding, plan, wantsEveryPixel: fields ? () => true : blur?.wanted });
  const endedEarly = await consume(steps, ({ frame, isSample, opensPair, closesPair }) => {
    if (closesPair) motion.second(frame);
    if (closesPair) fields?.second(frame);
    if (closesPair) blur?.second(frame);
    if (opensPair) motion.first(frame);
    if (opensPair) fields?.first(frame);
    if (opensPair) blur?.first(frame);
    if (isSample) meter.measure(frame);
    if (isSample) onFrame?.(frame);
  });
  const scan = fields?.result();
  const shutter = fields && scan !== 'progressive-in-fields' ? blur && blurOfFields : blur?.result();
  return { endedEarly, scan, shutter };
}

/** A frame of two moments holds two blurs, a field apart, that no fit of one tells from a longer one. */
const blurOfFields = { verdict: 'cannot-tell', reason: 'interlaced', pairCount: 0, tileCount: 0 } as const;

/** Motion belongs to the first frame of its pair, or the frame that was looked at closest to it. */
function withMotion(frames: readonly FrameMeasure[], motion: ReadonlyMap<number, number>): FrameMeasure[] {
  const measured = new Map<number, number>();
  for (const [pairSeconds, motionPixelsPerFrame] of motion) {
    const distance = (at: number): number => Math.abs(frames[at]!.atSeconds - pairSeconds);
    const nearest = frames.reduce((best, _, at) => (distance(at) < distance(best) ? at : best), 0);
    if (frames.length > 0) measured.set(nearest, motionPixelsPerFrame);
  }
  return frames.map((frame, at) => {
    const motionPixelsPerFrame = measured.get(at);
    return motionPixelsPerFrame === undefined ? frame : { ...frame, motionPixelsPerFrame };
  });
}

async function consume<T, R>(generator: AsyncGenerator<T, R>, take: (value: T) => void): Promise<R> {
  for (;;) {
    const next = await generator.next();
    if (next.done === true) return next.value;
    take(next.value);
  }
}

function storedGeometry({ width, height, rotationDegrees, bitDepth }: Facts): FrameGeometry {
  if (width === undefined || height === undefined)
    throw new HalfturnError(
      'The size of the pictures is not known, so they were not measured',
      'Open the clip in a player; if it plays, copy it from the card again.',
    );
  const turned = rotationDegrees !== undefined && rotationDegrees.value % 180 !== 0;
  return {
    width: turned ? height.value : width.value,
    height: turned ? width.value : height.value,
    // A deeper picture decoded as 8 bits loses low bits and keeps its levels.
    bitDepth: bitDepth?.value ?? 8,
  };
}

function noPicture(endedEarly: Measurement['endedEarly'], transient?: boolean): HalfturnError {
  // In the decoder's own words stands why, and nothing follows after no picture.
  const why = endedEarly === undefined || endedEarly.detail !== undefined ? '' : ` (${endedEarly.reason})`;
  return new HalfturnError(
    `Not one picture could be decoded${why}`,
    'Copy the clip from the card again; if it still fails, the recording is damaged.',
    endedEarly?.detail,
    transient,
  );
}
