import { HalfturnError } from '../domain/halfturnError.ts';
import type { CloserReason, FrameMeasure, Measurement } from '../domain/measurement.ts';
import type { Facts, Track } from '../domain/recording.ts';
import { median } from '../domain/statistics.ts';
import { fileSource } from '../containers/byteSource.ts';
import { mp4Pictures } from '../containers/mp4Pictures.ts';
import { isMp4OrMov, type OpenMedia } from '../programs/openMedia.ts';
import type { Program } from '../programs/run.ts';
import { clippedSpans, extremeSeconds, lookCloser } from './closerLook.ts';
import { feedPictures } from './decoding/feeding.ts';
import type { Frame, FrameGeometry } from './decoding/frame.ts';
import { jumpToPictures } from './decoding/jumps.ts';
import type { ClipDecoding, PictureReader, Run, Stretch } from './decoding/look.ts';
import { planSampling, type MeasureMode } from './decoding/sampling.ts';
import { planFieldMoments } from './fieldMoments.ts';
import { reasonsToLookCloser } from './firstLook.ts';
import { flickerFrames, mayBeLampLight, planFlicker } from './flickerMeter.ts';
import { planFrameMeter } from './frameMeter.ts';
import { clippedFractionOf } from './highlights/pictureClipping.ts';
import { motionFactor, planMotionPairs } from './motion/motion.ts';
import { summarise } from './pictureSummary.ts';
import { scoutCopy } from './scout.ts';
import { planShutterPairs, shutterMoments, unlessDark } from './shutter/shutterPairs.ts';

interface ClipRequest {
  readonly program: Program;
  readonly media: OpenMedia;
  readonly facts: Facts;
  readonly mode: MeasureMode;
  /** Frames that clip more than this fraction of their area make up the clipped spans. */
  readonly clippedFlagFraction: number;
  readonly signal?: AbortSignal;
  /** A small copy that the camera wrote of the same clip, by its name alone: it may be anything. */
  readonly lowResolutionCopy?: string | Buffer;
  /** What the camera recorded over time: its extremes are looked at too. */
  readonly track?: Track;
  /** Sees every looked-at frame; its arrays are overwritten afterwards. */
  readonly onFrame?: (frame: Frame) => void;
  /** Asks for the shutter angle that the motion blur tells, and names the angle that it will be held against. */
  readonly shutterTarget?: { readonly targetAngleDegrees: number; readonly toleranceStops: number };
}

const assumedFramesPerSecond = 30;

/**
 * Measures the pictures of one clip: clipping, level and motion. Where decoding ends early, what was measured up to there
 * stands; a clip without a single picture is a HalfturnError.
 */
export async function measureClip(request: ClipRequest): Promise<Measurement> {
  const clip = await openClip(request);
  const meters = planMeters(request, clip);
  const { endedEarly, reasons } = await lookAtClip(clip, request, meters);
  if (endedEarly === undefined) await meters.takeMoments(clip.reader);
  const { ceiling, range, pictureArea } = meters.codes();
  const frames = meters.frames();
  if (frames.length === 0) throw noPicture(endedEarly, request.media.transient);
  const flagFraction = request.clippedFlagFraction;
  const closer =
    endedEarly !== undefined
      ? frames
      : await lookCloser(clip.reader, frames.map(titleAsUnburnt), {
          flagFraction,
          clippedFraction: (frame) => clippedFractionOf(frame, range.name, ceiling),
        });
  const gaps = frames.slice(1).map(({ atSeconds }, i) => atSeconds - frames[i]!.atSeconds);
  const lookedAtTo = endedEarly?.atSeconds ?? clip.durationSeconds ?? 0;
  const summary = summarise(frames, ceiling, clippedSpans(closer, flagFraction, lookedAtTo));
  const { shutter, ...moved } = meters.result();
  return {
    ...summary,
    lookedCloserBecause: reasons.length > 0 ? reasons : undefined,
    scoutedFrames: clip.copied?.frames,
    rangeInUse: range,
    pictureArea,
    samplingStepSeconds: median(gaps) ?? clip.full.stepSeconds,
    ...moved,
    shutter: shutter && unlessDark(shutter, summary.levelStops?.median),
    endedEarly,
  };
}

/** Opens the pictures of a clip and plans which of them to look at. */
async function openClip(request: ClipRequest) {
  const { program, media, signal, facts, lowResolutionCopy, shutterTarget } = request;
  const geometry = storedGeometry(facts);
  const frameCount = facts.frameCount?.value;
  const rate = facts.playbackFrameRate?.value ?? facts.frameRate?.value;
  const recordedRate = rate && rate.numerator / rate.denominator;
  const framesPerSecond = recordedRate ?? assumedFramesPerSecond;
  const reader = await openPictures({ program, media, geometry, framesPerSecond, frameCount, signal });
  const { endSeconds } = reader;
  const durationSeconds = endSeconds ?? facts.durationSeconds?.value;
  const extent = { durationSeconds, framesPerSecond: recordedRate, frameCount };
  const full = planSampling(extent, 'full', shutterTarget && closerPairs);
  const quick = planSampling(extent, 'first', shutterTarget && shutterPairs);
  const isQuick = request.mode === 'sampled' && reader.isQuick(quick);
  const copied =
    isQuick && lowResolutionCopy !== undefined && endSeconds !== undefined
      ? await scoutCopy(lowResolutionCopy, { program, media, signal, framesPerSecond, endSeconds }, facts)
      : undefined;
  // A copy does not show where the clip moves most.
  const isScouted = copied !== undefined && shutterTarget === undefined;
  const first = !isQuick ? full : isScouted ? planSampling(extent, 'scouted') : quick;
  return { geometry, framesPerSecond, reader, durationSeconds, full, first, isQuick, copied };
}

type OpenClip = Awaited<ReturnType<typeof openClip>>;

/** A few pictures, then more where these do not decide, then those where the settings were at their extremes. */
async function lookAtClip(
  { reader, full, first, isQuick, copied, geometry, durationSeconds }: OpenClip,
  { facts, mode, track }: ClipRequest,
  meters: ReturnType<typeof planMeters>,
) {
  const extremes = extremeSeconds(track?.samples ?? []);
  const flickerRun = flickerRunAt(facts, durationSeconds);
  const { pairShrunkBy } = meters;
  let endedEarly = await meters.take(
    reader.look({
      plan: first,
      keysOnly: isQuick,
      everyKey: mode === 'every',
      stretches: copied?.placesSeconds.map(stretchFrom),
      runs: flickerRun && [flickerRun],
      pairShrunkBy,
    }),
  );
  const reasons: readonly CloserReason[] = isQuick
    ? reasonsToLookCloser({
        frames: meters.frames(),
        widthPixels: geometry.width,
        durationSeconds,
        settingsChange: extremes.length > 0,
        pictureMissing: endedEarly !== undefined,
        copyDiffers: copied?.differ,
      })
    : mode === 'sampled'
      ? ['no-short-cut']
      : [];
  if (isQuick && reasons.length > 0)
    endedEarly = await meters.take(reader.look({ plan: full, pairShrunkBy }));
  if (endedEarly === undefined && mode !== 'every') {
    const stretches = extremes
      .filter((atSeconds) => !meters.looksNear(atSeconds, full.stepSeconds / 4))
      .map(stretchFrom);
    if (stretches.length > 0) await meters.take(reader.look({ stretches }));
  }
  return { endedEarly, reasons };
}

/** The picture that is shown at a moment, or a key frame soon after it. */
function stretchFrom(atSeconds: number): Stretch {
  return { fromSeconds: atSeconds - nextFrameSeconds, toSeconds: atSeconds + longestFrameSeconds };
}

/** White in a title is no highlight, so what is burnt around it ends there. */
function titleAsUnburnt(frame: FrameMeasure): FrameMeasure {
  return frame.noScene === 'drawing' ? { ...frame, clippedFraction: 0 } : frame;
}

/** By the table of pictures where a file has a plain one, else by jumping about in the file. */
async function openPictures(clip: ClipDecoding): Promise<PictureReader> {
  const table = (await isMp4OrMov(clip.media)) ? mp4Pictures(fileSource(clip.media)) : undefined;
  return table === undefined ? jumpToPictures(clip) : feedPictures(clip, table);
}

/** A first look takes so many pairs where the shutter is to be told from where the clip moves most, a closer one more. */
const shutterPairs = 8;
const closerPairs = 12;
/** Half a frame or less, and more than any. */
const nextFrameSeconds = 0.01;
const longestFrameSeconds = 0.5;

/** Consecutive frames in the middle of a clip, where lamps may light it. */
function flickerRunAt(facts: Facts, durationSeconds: number | undefined): Run | undefined {
  if (durationSeconds === undefined || facts.transfer === undefined || !mayBeLampLight(facts))
    return undefined;
  const startSeconds = durationSeconds / 2;
  return { startSeconds, fromKey: true, endSeconds: Infinity, everySeconds: 0, mostFrames: flickerFrames };
}

/** All that measures the pictures of one clip. */
function planMeters(
  { facts, shutterTarget: target, onFrame }: ClipRequest,
  { geometry, framesPerSecond }: OpenClip,
) {
  const meter = planFrameMeter(facts, geometry);
  const rotationDegrees = facts.rotationDegrees?.value ?? 0;
  const motion = planMotionPairs(geometry, { framesPerSecond, rotationDegrees });
  const fields = facts.scan && planFieldMoments(framesPerSecond);
  const blur = target && planShutterPairs(facts, geometry, target);
  const flicker = planFlicker(facts, geometry.bitDepth);
  /** Grey of other depths is not known to every build of ffmpeg. */
  const grey = [8, 10, 12].includes(geometry.bitDepth) || undefined;
  return {
    /** Fields need every pixel. */
    pairShrunkBy: grey && (fields ? 1 : motionFactor(geometry.width)),
    take: async (pictures: ReturnType<PictureReader['look']>): Promise<Measurement['endedEarly']> => {
      for (;;) {
        const next = await pictures.next();
        if (next.done === true) return next.value;
        const { frame, isSample, opensPair, closesPair, run } = next.value;
        for (const pairs of [motion, fields]) {
          if (closesPair) pairs?.second(frame);
          if (opensPair) pairs?.first(frame);
        }
        if (isSample) meter.measure(frame);
        if (isSample) onFrame?.(frame);
        if (run !== undefined) flicker.frame(frame);
      }
    },
    /** Frames where the clip moves most: they tell its blur, and nothing of how it moves as a rule. */
    takeMoments: async (reader: PictureReader): Promise<void> => {
      const moments = blur && shutterMoments(motion.fastest(), geometry, framesPerSecond);
      if (moments === undefined || moments.length === 0) return;
      for await (const picture of reader.look({ moments, pairShrunkBy: grey && 1 }))
        blur?.frame(picture.frame, picture);
    },
    looksNear: meter.looksNear,
    codes: meter.result,
    frames: (): readonly FrameMeasure[] => withMotion(meter.result().frames, motion.overTime()),
    result: (): Partial<Measurement> => {
      const scan = fields?.result();
      const isOfFields = fields !== undefined && scan !== 'progressive-in-fields';
      return {
        ...motion.result(),
        flickerStops: flicker.result(),
        shutter: isOfFields ? blur && blurOfFields : blur?.result(),
        scan,
      };
    },
  };
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
