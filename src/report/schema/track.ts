import { z } from 'zod';
import { minMedianMax, seconds } from './quantities.ts';

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
});

export const track = z.object({
  source: z.string(),
  samples: z.number().int().nonnegative(),
  exposureSeconds: minMedianMax.optional(),
  iso: minMedianMax.optional(),
  meteredOffsetStops: minMedianMax.optional(),
  timeline: z.array(trackSample).readonly(),
});
