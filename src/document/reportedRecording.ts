import { z } from 'zod';
import { closerReasons, noScenes, type Measurement } from '../domain/measurement.ts';
import type { FactName, TrackSample } from '../domain/recording.ts';
import { findingKinds } from '../findings/index.ts';

const seconds = z.number().nonnegative();
export const fraction = z.number().min(0).max(1);

/** What a schema accepts, as a document holds it. */
export type Infer<T extends z.ZodType> = Immutable<z.infer<T>>;
type Immutable<T> = unknown extends T ? T : { readonly [K in keyof T]: Immutable<T[K]> };

function fact<T extends z.ZodType>(value: T) {
  const sighting = { value, source: z.string() };
  return z.object({ ...sighting, others: z.array(z.object(sighting)).optional() }).optional();
}

/** Rates are numbers here, and `framesPerSecond` is the capture rate. */
type RateName = 'framesPerSecond' | 'playbackFramesPerSecond';
const facts = z.object({
  recordedAt: fact(z.string())
    .unwrap()
    .extend({
      zoneWorkedOut: z
        .literal(true)
        .optional()
        .describe('its clock wrote no offset from UTC; source says what told it'),
    })
    .optional(),
  durationSeconds: fact(seconds),
  frameCount: fact(z.number()),
  width: fact(z.number()),
  height: fact(z.number()),
  rotationDegrees: fact(z.number()),
  framesPerSecond: fact(z.number().positive()).describe('capture rate: what the shutter worked against'),
  playbackFramesPerSecond: fact(z.number().positive()),
  scan: fact(z.enum(['fields', 'interlaced', 'progressive-in-fields'])).describe(
    'only of pictures in fields; fields: not known whether of one moment',
  ),
  frameTiming: fact(z.enum(['constant', 'variable', 'repeating'])),
  irregularFrameFraction: fact(fraction),
  exposureSeconds: fact(z.number().positive()),
  fNumber: fact(z.number().positive()),
  iso: fact(z.number().positive()),
  exposureBiasStops: fact(z.number()).describe('compensation that was dialled in, + = brighter'),
  meteredOffsetStops: fact(z.number()).describe("what the camera's meter said, + = over"),
  evAsReadStops: fact(z.number()).describe('EV in telemetry that may be dialled in or metered'),
  focalLengthMm: fact(z.number().positive()),
  equivalentFocalLengthMm: fact(z.number().positive()).describe('with the same view on 35 mm film'),
  latitude: fact(z.number().min(-90).max(90)),
  longitude: fact(z.number().min(-180).max(180)),
  altitudeMetres: fact(z.number()),
  heightOverStartMetres: fact(z.number()).describe('over the place of take-off'),
  groundSpeedMetresPerSecond: fact(z.number().nonnegative()),
  headingDegrees: fact(z.number()),
  cameraPitchDegrees: fact(z.number()).describe('0 the horizon, -90 straight down'),
  recordedFilterStops: fact(z.number()),
  transfer: fact(z.enum(['bt709', 'srgb', 'hlg', 'pq', 'linear'])),
  range: fact(z.enum(['narrow', 'full'])),
  bitDepth: fact(z.number().positive()),
  codec: fact(z.string()),
  camera: fact(z.string()),
  startTimecode: fact(z.string()),
  exposureProgram: fact(z.string()),
  meteringMode: fact(z.string()),
  whiteBalance: fact(z.string()),
  composite: fact(z.enum(['general', 'while-shooting'])).describe('put together from several exposures'),
} satisfies Readonly<Record<Exclude<FactName, 'frameRate' | 'playbackFrameRate'> | RateName, z.ZodType>>);

const trackSample = z.object({
  startSeconds: seconds,
  endSeconds: seconds,
  exposureSeconds: z.number().optional(),
  fNumber: z.number().optional(),
  iso: z.number().optional(),
  exposureBiasStops: z.number().optional(),
  meteredOffsetStops: z.number().optional(),
  evAsReadStops: z.number().optional(),
  whiteBalanceKelvin: z.number().optional(),
  focalLengthMm: z.number().optional(),
  latitude: z.number().optional(),
  longitude: z.number().optional(),
  altitudeMetres: z.number().optional(),
  heightOverStartMetres: z.number().optional(),
  groundSpeedMetresPerSecond: z.number().optional(),
  headingDegrees: z.number().optional(),
  cameraPitchDegrees: z.number().optional(),
  rollingShutterSkewSeconds: z.number().optional(),
  recordedFilterStops: z.number().optional(),
} satisfies Readonly<Record<keyof TrackSample, z.ZodType>>);

const minMedianMax = z.object({ min: z.number(), median: z.number(), max: z.number() });

const track = z.object({
  source: z.string(),
  samples: z.number().int().nonnegative().describe('how many were read'),
  exposureSeconds: minMedianMax.optional(),
  iso: minMedianMax.optional(),
  meteredOffsetStops: minMedianMax.optional(),
  timeline: z
    .array(trackSample)
    .describe('thinned to at most 600 samples, and to fewer where a document holds more than 33 clips'),
});

const maxAndMedian = z.object({ max: fraction, median: fraction });

const picture = z.object({
  framesMeasured: z.number().int().nonnegative(),
  lookedCloserBecause: z
    .array(z.enum(closerReasons))
    .readonly()
    .optional()
    .describe('why more frames of a clip were looked at than a first look takes'),
  scoutedFrames: z
    .number()
    .int()
    .optional()
    .describe('frames of a low-resolution copy that showed where to look; no number here is theirs'),
  frames: z
    .array(
      z.object({
        atSeconds: seconds,
        clippedFraction: fraction,
        levelStops: z.number().optional(),
        motionPixelsPerFrame: z.number().nonnegative().optional(),
      }),
    )
    .optional()
    .describe(
      'the looked-at frames of a clip over time, thinned to at most 200, and to fewer where a document holds more than 100 clips; of each stretch the one that clips most',
    ),
  samplingStepSeconds: z.number().optional(),
  noScene: z
    .enum(noScenes)
    .optional()
    .describe('not one looked-at picture is a scene, so its light and highlights were not judged'),
  pictureArea: z
    .object({ shape: z.enum(['bars', 'circle']), fraction })
    .optional()
    .describe('the picture inside of a black frame, as a share of all; shares and level are of that part'),
  ceiling: z.object({ signal: z.number(), basis: z.enum(['nominal', 'observed', 'super-white']) }),
  clippedFraction: maxAndMedian,
  channelClippedFraction: maxAndMedian,
  clippedSpans: z.array(
    z.object({
      startSeconds: seconds,
      endSeconds: seconds,
      maxFraction: fraction,
      startToleranceSeconds: seconds.optional().describe('the edge is off by no more than this'),
      endToleranceSeconds: seconds.optional(),
    }),
  ),
  clippedShape: z.enum(['disc', 'area']).optional(),
  crushedFraction: maxAndMedian,
  levelStops: z
    .object({ median: z.number(), low: z.number(), high: z.number() })
    .optional()
    .describe(
      'mean level of the picture against mid-grey by the standard curve, + = brighter; exposure.offsetStops is in light, where the shoulder of cameras is undone',
    ),
  motionPixelsPerFrame: z.object({ median: z.number(), high: z.number() }).optional(),
  rangeInUse: z
    .object({ name: z.enum(['narrow', 'full']), basis: z.enum(['recorded', 'assumed', 'codes']) })
    .optional()
    .describe('which codes were taken for black and white'),
  largestRegionFraction: fraction.optional().describe('of the frame that clips most'),
  clippedThirds: z
    .object({ upper: fraction, middle: fraction, lower: fraction })
    .optional()
    .describe('shares of the whole picture, as displayed'),
  clippedSpots: z.number().int().optional(),
  burntChannels: z
    .object({ red: fraction, green: fraction, blue: fraction })
    .optional()
    .describe('of the frame that loses most'),
  lightQuantilesStops: z
    .object({ p5: z.number(), p50: z.number(), p95: z.number() })
    .optional()
    .describe('scene light within the typical frame against mid-grey'),
  headroomStops: z
    .number()
    .nonnegative()
    .optional()
    .describe('how much brighter the brightest frame could have been'),
  overexposure: z
    .object({
      leastStops: z.number(),
      lowStops: z.number(),
      middleStops: z.number().optional().describe('as many were over by less as by more'),
      highStops: z.number().optional().describe('absent where only the bound can be told'),
      basis: z
        .enum(['experience', 'darker-frames', 'tail'])
        .describe('"tail": as earlier versions call "experience"'),
    })
    .optional()
    .describe(
      'how much darker it should have been: a bound and an interval, each of which holds four times of five',
    ),
  motion: z
    .object({
      widthsPerSecond: z.object({ median: z.number(), high: z.number() }),
      directionDegrees: z.number().optional().describe('clockwise, 0 up'),
      followedTiles: z.number().int(),
      tiles: z.number().int(),
    })
    .optional(),
  flickerStops: z.number().nonnegative().optional(),
} satisfies Readonly<Record<Exclude<keyof Measurement, 'endedEarly' | 'scan' | 'shutter'>, z.ZodType>>);

const blurInterval = z
  .object({ lowDegrees: z.number().optional(), highDegrees: z.number() })
  .describe('holds with 95%; highDegrees alone: at most that, and nothing is known of how much less');

const blur = z.object({
  verdict: z
    .enum(['measured', 'short', 'cannot-tell'])
    .describe('short: only the upper end of the interval can be said, and it lies below the tolerance'),
  angleDegrees: z.number().positive().optional(),
  interval: blurInterval.optional(),
  class: z.enum(['short', 'on', 'long']).optional(),
  pairCount: z.number().nonnegative(),
  tileCount: z.number().nonnegative(),
  medianMotionPixels: z.number().nonnegative().optional(),
  reason: z
    .enum([
      'too-few-pairs',
      'too-little-motion',
      'too-much-motion',
      'too-little-texture',
      'too-noisy',
      'too-dark',
      'too-compressed',
      'mixed-motions',
      'bands-disagree',
      'windows-disagree',
      'repeated-frames',
      'uneven-sharpness',
      'repeating-texture',
      'interval-too-wide',
      'interlaced',
    ])
    .optional()
    .describe('why the blur does not tell the angle'),
  curve: z
    .array(z.object({ cyclesPerFrame: z.number(), attenuation: z.number(), fitted: z.number() }))
    .optional()
    .describe('detail left over frequency along the motion, and the fitted curve'),
});

const shutter = z.object({
  verdict: z.enum(['on', 'short', 'long', 'unknown']),
  angleDegrees: z.number().positive().optional(),
  offsetStops: z.number().optional().describe('log2(angle / target), - = shorter than the target'),
  basis: z.enum(['recorded', 'picture']).optional(),
  countedOn: z
    .enum(['frame', 'field'])
    .optional()
    .describe('only of pictures in fields: on the field where each has its own moment'),
  either: z
    .object({ onFrameDegrees: z.number(), onFieldDegrees: z.number() })
    .optional()
    .describe('both angles, where that could not be told'),
  interval: blurInterval.optional(),
  blur: blur.optional().describe('what the motion blur tells, where it was looked at'),
  matters: z.enum(['yes', 'no', 'unknown']).describe('would anyone see it at the motion measured'),
  seen: z
    .object({ seenFractionOfWidth: z.number(), passableFractionOfWidth: z.number() })
    .optional()
    .describe('gap of a short shutter or blur of a long one, per frame, and how much of it passes'),
});

const exposure = z.object({
  ev100: z.number().optional().describe('of the recorded settings'),
  sceneEv100: z
    .number()
    .optional()
    .describe('the light on the scene: adds the fitted filter and the exposure offset where they are known'),
  offsetStops: z.number().optional().describe('+ = over'),
  basis: z.enum(['metered', 'picture']).optional(),
});

export const filterSchema = z.object({
  fitted: z
    .object({
      label: z.string(),
      stops: z.number(),
      source: z.string(),
      spreadStops: z.number().optional().describe('how far its strength is not known'),
    })
    .optional(),
  neededStops: z.number().nonnegative().optional(),
  darkestNeededStops: z
    .number()
    .nonnegative()
    .optional()
    .describe('the same for the darkest part that lasts'),
  additionalStops: z
    .number()
    .optional()
    .describe('light still to be taken away against what was fitted; negative = too much was taken'),
  additionalAtLeastStops: z
    .number()
    .optional()
    .describe('in place of additionalStops, where of the shutter only a bound is known'),
  lightSpanStops: z.number().optional().describe('brightest against darkest part that lasts'),
  change: z.enum(['none', 'stronger', 'weaker']).optional(),
  assumesNothingFitted: z
    .boolean()
    .optional()
    .describe('nobody said what was fitted: the pick holds if nothing was, else on top of what was'),
  keepsIso: z.boolean().optional().describe('no ISO was recorded: it is taken as unchanged'),
  pick: z
    .object({
      label: z.string(),
      stops: z.number().describe('of a variable filter, what to set it to'),
      leavesStops: z.number(),
      darkestLeavesStops: z.number().optional(),
      variable: z.boolean().optional(),
    })
    .optional()
    .describe('best of the kit; leavesStops + = over'),
  lowLightEv100: z
    .number()
    .optional()
    .describe('nobody said what was fitted, and the settings are those of night or of a room'),
  basis: z.string().optional(),
  highlights: z
    .object({
      offsetStops: z.number(),
      burntFraction: fraction.optional(),
      firstStep: z.boolean().optional(),
      leastStops: z.number().optional(),
      beyondStops: z.number().optional(),
      holdChance: fraction.optional().describe('with the pick on, for all of the highlights'),
      fractionLeft: fraction.optional().describe('what stays burnt in the worst of ten such pictures'),
    })
    .optional()
    .describe('where the highlights want the exposure against the meter, - = darker'),
  meterAndPicture: z
    .object({ meteredStops: z.number(), pictureStops: z.number() })
    .optional()
    .describe('both, where they differ by more than the subject explains'),
  uncertaintyStops: z.number().optional(),
  otherwise: z.array(z.string()),
});

export const findingSchema = z.object({
  kind: z.enum(findingKinds),
  weight: z.enum(['high', 'medium', 'low']),
  text: z.string(),
  detail: z.string().optional(),
  inTheEdit: z.string().optional(),
  nextTime: z.string().optional(),
  startSeconds: seconds.optional(),
  endSeconds: seconds.optional(),
});

export const recordingSchema = z.object({
  path: z.string().describe('relative to the dump, "/" on every system'),
  kind: z.enum(['clip', 'still']),
  sizeBytes: z.number().nonnegative(),
  sidecars: z.array(z.string()),
  fingerprint: z.string().optional().describe('the same for copies of one recording'),
  copies: z.array(z.string()).optional().describe('paths of copies, not audited themselves'),
  continues: z
    .string()
    .optional()
    .describe('path of the clip that this one goes on after that one reached the largest size of a file'),
  facts,
  track: track.optional(),
  shutter: shutter.optional(),
  picture: picture.optional(),
  exposure: exposure,
  filter: filterSchema.optional(),
  findings: z.array(findingSchema),
  use: z
    .enum(['use', 'trim', 'leave'])
    .optional()
    .describe(
      'for an edit; use: no fault that an audience sees, trim: a stretch of 3 s, a setting or a crop saves it, leave: nothing does; absent where the picture was not measured',
    ),
  refusals: z.array(z.object({ what: z.string(), raw: z.string(), source: z.string(), reason: z.string() })),
});

export type ReportedFilter = Infer<typeof filterSchema>;
export type ReportedFinding = Infer<typeof findingSchema>;
export type ReportedPicture = Infer<typeof picture>;
export type ReportedRecording = Infer<typeof recordingSchema>;
export type ReportedTrack = Infer<typeof track>;
