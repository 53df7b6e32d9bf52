import { z } from 'zod';
import { fraction, seconds } from './quantities.ts';

function fact<T extends z.ZodType>(value: T) {
  const sighting = { value, source: z.string() };
  return z.object({ ...sighting, others: z.array(z.object(sighting)).readonly().optional() }).optional();
}

export const facts = z.object({
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
});
