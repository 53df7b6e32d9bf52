import { z } from 'zod';
import type { AuditDocument } from '../domain/report.ts';

const seconds = z.number().nonnegative();
const fraction = z.number().min(0).max(1);
const finding = z.object({
  kind: z.enum([
    'shutter-short',
    'shutter-long',
    'shutter-edge',
    'shutter-impossible',
    'shutter-unknown',
    'highlights-clipped',
    'disc-clipped',
    'shadows-crushed',
    'too-bright',
    'too-dark',
    'iso-raised',
    'exposure-drifts',
    'exposure-pumps',
    'flicker',
    'range-contradicted',
    'sources-disagree',
    'shutter-short-by-blur',
    'shutter-contradicted',
    'uneven-frames',
    'split-part',
    'slow-motion',
    'frame-rate-mix',
    'filter-forgotten',
    'filter-contradicted',
    'bracket-frame-missing',
    'bracket-uneven',
    'bracket-settings-change',
    'bracket-highlights-lost',
    'bracket-shadows-lost',
    'series-exposure-short',
    'series-frames-dropped',
    'series-exposure-steps',
    'series-highlights-clipped',
    'series-too-bright',
    'series-too-dark',
    'decoded-in-part',
  ]),
  weight: z.enum(['high', 'medium', 'low']),
  text: z.string(),
  inTheEdit: z.string().exactOptional(),
  nextTime: z.string().exactOptional(),
  startSeconds: seconds.exactOptional(),
  endSeconds: seconds.exactOptional(),
});

function fact<T extends z.ZodType>(value: T) {
  const sighting = { value, source: z.string() };
  return z
    .object({ ...sighting, others: z.array(z.object(sighting)).readonly().exactOptional() })
    .exactOptional();
}

const facts = z.object({
  recordedAt: fact(z.string()),
  durationSeconds: fact(seconds),
  frameCount: fact(z.number()),
  width: fact(z.number()),
  height: fact(z.number()),
  rotationDegrees: fact(z.number()),
  framesPerSecond: fact(z.number().positive()).describe('capture rate: what the shutter worked against'),
  playbackFramesPerSecond: fact(z.number().positive()),
  frameTiming: fact(z.enum(['constant', 'variable', 'repeating'])),
  irregularFrameFraction: fact(fraction),
  exposureSeconds: fact(z.number().positive()),
  fNumber: fact(z.number().positive()),
  iso: fact(z.number().positive()),
  exposureBiasStops: fact(z.number()).describe('compensation that was dialled in, + = brighter'),
  meteredOffsetStops: fact(z.number()).describe("what the camera's meter said, + = over"),
  focalLengthMm: fact(z.number().positive()),
  latitude: fact(z.number().min(-90).max(90)),
  longitude: fact(z.number().min(-180).max(180)),
  altitudeMetres: fact(z.number()),
  headingDegrees: fact(z.number()),
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
});

const minMedianMax = z.object({ min: z.number(), median: z.number(), max: z.number() });
const maxAndMedian = z.object({ max: fraction, median: fraction });
const trackSample = z.object({
  startSeconds: seconds,
  endSeconds: seconds,
  exposureSeconds: z.number().exactOptional(),
  fNumber: z.number().exactOptional(),
  iso: z.number().exactOptional(),
  exposureBiasStops: z.number().exactOptional(),
  meteredOffsetStops: z.number().exactOptional(),
  focalLengthMm: z.number().exactOptional(),
  latitude: z.number().exactOptional(),
  longitude: z.number().exactOptional(),
  altitudeMetres: z.number().exactOptional(),
  headingDegrees: z.number().exactOptional(),
  rollingShutterSkewSeconds: z.number().exactOptional(),
  recordedFilterStops: z.number().exactOptional(),
});

const track = z.object({
  source: z.string(),
  samples: z.number().int().nonnegative(),
  exposureSeconds: minMedianMax.exactOptional(),
  iso: minMedianMax.exactOptional(),
  meteredOffsetStops: minMedianMax.exactOptional(),
  timeline: z.array(trackSample).readonly(),
});

const blurReasons = [
  'too-few-pairs',
  'too-little-motion',
  'too-little-texture',
  'too-noisy',
  'too-compressed',
  'mixed-motions',
  'bands-disagree',
  'windows-disagree',
  'repeated-frames',
  'blended-frames',
  'repeating-texture',
  'interval-too-wide',
] as const;

const blur = z.object({
  verdict: z
    .enum(['measured', 'short', 'cannot-tell'])
    .describe('short: only the upper end of the interval can be said'),
  angleDegrees: z.number().positive().exactOptional(),
  interval: z.object({ lowDegrees: z.number(), highDegrees: z.number() }).exactOptional().describe('95 %'),
  class: z.enum(['short', 'on', 'long']).exactOptional(),
  pairCount: z.number().nonnegative(),
  tileCount: z.number().nonnegative(),
  medianMotionPixels: z.number().nonnegative().exactOptional(),
  reason: z.enum(blurReasons).exactOptional().describe('why the blur does not tell the angle'),
  curve: z
    .array(z.object({ cyclesPerFrame: z.number(), attenuation: z.number(), fitted: z.number() }))
    .readonly()
    .exactOptional()
    .describe('detail left over frequency along the motion, and the fitted curve'),
});

const shutter = z.object({
  verdict: z.enum(['on', 'short', 'long', 'unknown']),
  angleDegrees: z.number().positive().exactOptional(),
  offsetStops: z.number().exactOptional().describe('log2(angle / target), - = shorter than the target'),
  basis: z.enum(['recorded', 'picture']).exactOptional(),
  interval: z.object({ lowDegrees: z.number(), highDegrees: z.number() }).exactOptional(),
  blur: blur.exactOptional().describe('what the motion blur tells, where it was looked at'),
  matters: z.enum(['yes', 'no', 'unknown']).describe('would anyone see it at the motion measured'),
});

const reportedFrame = z.object({
  atSeconds: seconds,
  clippedFraction: fraction,
  levelStops: z.number().exactOptional(),
  motionPixelsPerFrame: z.number().nonnegative().exactOptional(),
});

const picture = z.object({
  framesMeasured: z.number().int().nonnegative(),
  frames: z
    .array(reportedFrame)
    .readonly()
    .exactOptional()
    .describe('the looked-at frames of a clip over time, thinned to at most 200'),
  samplingStepSeconds: z.number().exactOptional(),
  ceiling: z.object({ signal: z.number(), basis: z.enum(['nominal', 'observed', 'super-white']) }),
  clippedFraction: maxAndMedian,
  channelClippedFraction: maxAndMedian,
  clippedSpans: z
    .array(z.object({ startSeconds: seconds, endSeconds: seconds, maxFraction: fraction }))
    .readonly(),
  clippedShape: z.enum(['disc', 'area']).exactOptional(),
  crushedFraction: maxAndMedian,
  levelStops: z
    .object({ median: z.number(), low: z.number(), high: z.number() })
    .exactOptional()
    .describe('mean level of the picture against mid-grey, + = brighter'),
  motionPixelsPerFrame: z.object({ median: z.number(), high: z.number() }).exactOptional(),
  rangeInUse: z
    .object({ name: z.enum(['narrow', 'full']), basis: z.enum(['recorded', 'assumed', 'codes']) })
    .exactOptional()
    .describe('which codes were taken for black and white'),
  largestRegionFraction: fraction.exactOptional().describe('of the frame that clips most'),
  clippedThirds: z
    .object({ upper: fraction, middle: fraction, lower: fraction })
    .exactOptional()
    .describe('shares of the whole picture, as displayed'),
  clippedSpots: z.number().int().exactOptional(),
  burntChannels: z.object({ red: fraction, green: fraction, blue: fraction }).exactOptional(),
  lightQuantilesStops: z
    .object({ p5: z.number(), p50: z.number(), p95: z.number() })
    .exactOptional()
    .describe('scene light within the typical frame against mid-grey'),
  headroomStops: z.number().nonnegative().exactOptional(),
  overexposure: z
    .object({
      leastStops: z.number(),
      lowStops: z.number(),
      highStops: z.number(),
      basis: z.enum(['tail', 'darker-frames']),
    })
    .exactOptional()
    .describe('how much darker it should have been: a bound, and an interval that holds four times of five'),
  motion: z
    .object({
      widthsPerSecond: z.object({ median: z.number(), high: z.number() }),
      directionDegrees: z.number().exactOptional().describe('clockwise, 0 up'),
      followedTiles: z.number().int(),
      tiles: z.number().int(),
    })
    .exactOptional(),
  flickerStops: z.number().nonnegative().exactOptional(),
});

const exposure = z.object({
  ev100: z.number().exactOptional(),
  sceneEv100: z.number().exactOptional(),
  offsetStops: z.number().exactOptional().describe('+ = over'),
  basis: z.enum(['metered', 'picture']).exactOptional(),
});

const filter = z.object({
  fitted: z
    .object({
      label: z.string(),
      stops: z.number(),
      source: z.string(),
      spreadStops: z.number().exactOptional().describe('how far its strength is not known'),
    })
    .exactOptional(),
  neededStops: z.number().nonnegative().exactOptional(),
  darkestNeededStops: z
    .number()
    .nonnegative()
    .exactOptional()
    .describe('the same for the darkest part that lasts'),
  additionalStops: z
    .number()
    .exactOptional()
    .describe('light still to be taken away against what was fitted; negative = too much was taken'),
  lightSpanStops: z.number().exactOptional().describe('brightest against darkest part that lasts'),
  change: z.enum(['none', 'stronger', 'weaker']).exactOptional(),
  assumesNothingFitted: z
    .boolean()
    .exactOptional()
    .describe('nobody said what was fitted: the pick holds if nothing was, else on top of what was'),
  keepsIso: z.boolean().exactOptional().describe('no ISO was recorded: it is taken as unchanged'),
  pick: z
    .object({
      label: z.string(),
      stops: z.number().describe('of a variable filter, what to set it to'),
      leavesStops: z.number(),
      darkestLeavesStops: z.number().exactOptional(),
      variable: z.boolean().exactOptional(),
    })
    .exactOptional()
    .describe('best of the kit; leavesStops + = over'),
  basis: z.string().exactOptional(),
  highlights: z
    .object({
      offsetStops: z.number(),
      burntFraction: fraction.exactOptional(),
      firstStep: z.boolean().exactOptional(),
    })
    .exactOptional()
    .describe('where the highlights want the exposure against the meter, - = darker'),
  meterAndPicture: z
    .object({ meteredStops: z.number(), pictureStops: z.number() })
    .exactOptional()
    .describe('both, where they differ by more than the subject explains'),
  uncertaintyStops: z.number().exactOptional(),
  otherwise: z.array(z.string()).readonly(),
});

const recording = z.object({
  path: z.string().describe('relative to the dump, "/" on every system'),
  kind: z.enum(['clip', 'still']),
  sizeBytes: z.number().nonnegative(),
  sidecars: z.array(z.string()).readonly(),
  fingerprint: z.string().exactOptional().describe('the same for copies of one recording'),
  copies: z.array(z.string()).readonly().exactOptional().describe('paths of copies, not audited themselves'),
  continues: z
    .string()
    .exactOptional()
    .describe('path of the clip that this one goes on after that one reached the largest size of a file'),
  facts,
  track: track.exactOptional(),
  shutter: shutter.exactOptional(),
  picture: picture.exactOptional(),
  exposure,
  filter: filter.exactOptional(),
  findings: z.array(finding).readonly(),
  refusals: z
    .array(z.object({ what: z.string(), raw: z.string(), source: z.string(), reason: z.string() }))
    .readonly(),
});

const sequence = z.object({
  kind: z.enum(['bracket', 'interval']),
  paths: z.array(z.string()).readonly(),
  stepsStops: z.array(z.number()).readonly().exactOptional(),
  spanStops: z.number().exactOptional().describe('from the darkest to the brightest frame of a bracket'),
  intervalSeconds: z.number().exactOptional(),
  angleDegrees: z.number().exactOptional().describe('360 x exposure / interval'),
  exposureSeconds: z.number().exactOptional(),
  targetSeconds: z.number().exactOptional().describe('the exposure that the interval wants'),
  missingFrames: z.number().exactOptional(),
  playback: z
    .array(z.object({ framesPerSecond: z.number(), seconds }))
    .readonly()
    .exactOptional(),
  filter: filter.exactOptional(),
  findings: z.array(finding).readonly(),
});

const settings = z.object({
  shutterAngleDegrees: z.number().positive().max(360),
  shutterToleranceStops: z.number().nonnegative(),
  baseIso: z.number().positive(),
  windowStops: z.tuple([z.number(), z.number()]).readonly(),
  clippedFraction: fraction,
  measure: z.enum(['off', 'sampled', 'every']),
  kit: z
    .array(
      z.object({
        label: z.string(),
        stops: z.number(),
        rangeStops: z.tuple([z.number(), z.number()]).readonly().exactOptional(),
        polariser: z.boolean().exactOptional(),
        graduated: z.boolean().exactOptional(),
        measured: z
          .object({
            labelStops: z.number(),
            interval: z.tuple([z.number(), z.number()]).readonly(),
            pairs: z.number().int().nonnegative(),
          })
          .exactOptional()
          .describe("the strength is not the label's but what the logbook found; interval 95 %"),
      }),
    )
    .readonly(),
  longestExposureSeconds: z.number().exactOptional(),
  secondBaseIso: z.number().exactOptional(),
  kitAssumed: z.boolean(),
});

/** Accepts exactly what `AuditDocument` promises; fields that it does not know are ignored, as later ones may be. */
export const auditDocumentSchema = z.object({
  format: z.literal('halfturn-audit'),
  formatVersion: z.literal(1),
  generatedAt: z.string(),
  dump: z.string(),
  settings,
  recordings: z.array(recording).readonly(),
  sequences: z.array(sequence).readonly(),
  problems: z.array(z.object({ path: z.string(), message: z.string(), hint: z.string() })).readonly(),
  leftAside: z.record(z.string(), z.number()),
  notes: z
    .array(z.object({ path: z.string(), message: z.string() }))
    .readonly()
    .exactOptional(),
  cautions: z.array(z.string()).readonly(),
});

type Same<A, B> = [A] extends [B] ? ([B] extends [A] ? true : never) : never;
/** Every part made obligatory: a part that may be absent would otherwise not be missed. */
type Whole<T> = T extends object ? { [K in keyof T]-?: Whole<T[K]> } : T;
type Parsed = z.infer<typeof auditDocumentSchema>;

// Does not compile where schema and type have drifted apart, in either direction.
true satisfies Same<Parsed, AuditDocument>;
true satisfies Same<Whole<Parsed>, Whole<AuditDocument>>;

/** JSON Schema (draft 2020-12) of the audit document. */
export function auditJsonSchema(): object {
  return z.toJSONSchema(auditDocumentSchema, {
    io: 'input',
    override: ({ jsonSchema }) => {
      // A published document is read-only anyway; saying so at every list would only hide the rest.
      delete jsonSchema.readOnly;
    },
  });
}
