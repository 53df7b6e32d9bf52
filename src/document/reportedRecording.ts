import { z } from 'zod';
import type { FactName, TrackSample } from '../domain/recording.ts';
import { fraction, seconds, type Read } from './quantities.ts';
import { filterSchema } from './reportedFilter.ts';
import { findingSchema } from './reportedFinding.ts';
import { pictureSchema } from './reportedPicture.ts';
import { shutterSchema } from './reportedShutter.ts';

function fact<T extends z.ZodType>(value: T) {
  const sighting = { value, source: z.string() };
  return z.object({ ...sighting, others: z.array(z.object(sighting)).optional() }).optional();
}

/** Rates are numbers here, and `framesPerSecond` is the capture rate. */
type ReportedFactName =
  Exclude<FactName, 'frameRate' | 'playbackFrameRate'> | 'framesPerSecond' | 'playbackFramesPerSecond';

const facts = z.object({
  recordedAt: fact(z.string()),
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
} satisfies Readonly<Record<ReportedFactName, z.ZodType>>);

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
  // How many were read.
  samples: z.number().int().nonnegative(),
  exposureSeconds: minMedianMax.optional(),
  iso: minMedianMax.optional(),
  meteredOffsetStops: minMedianMax.optional(),
  // Thinned to at most 600 samples, and to fewer where a document holds more than 33 clips.
  timeline: z.array(trackSample),
});

const exposure = z.object({
  // Of the recorded settings.
  ev100: z.number().optional(),
  // The light on the scene: adds the fitted filter and the exposure offset where they are known.
  sceneEv100: z.number().optional(),
  offsetStops: z.number().optional().describe('+ = over'),
  basis: z.enum(['metered', 'picture']).optional(),
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
  shutter: shutterSchema.optional(),
  picture: pictureSchema.optional(),
  exposure,
  filter: filterSchema.optional(),
  findings: z.array(findingSchema),
  refusals: z.array(z.object({ what: z.string(), raw: z.string(), source: z.string(), reason: z.string() })),
});

export type ReportedRecording = Read<typeof recordingSchema>;
export type ReportedFacts = Read<typeof facts>;
export type ReportedTrack = Read<typeof track>;
export type ReportedExposure = Read<typeof exposure>;
