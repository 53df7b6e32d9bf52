import { z } from 'zod';
import { minMedianMax, seconds } from './quantities.ts';

const trackSample = z.object({
  startSeconds: seconds,
  endSeconds: seconds,
  exposureSeconds: z.number().exactOptional(),
  fNumber: z.number().exactOptional(),
  iso: z.number().exactOptional(),
  exposureBiasStops: z.number().exactOptional(),
  meteredOffsetStops: z.number().exactOptional(),
  evAsReadStops: z.number().exactOptional(),
  whiteBalanceKelvin: z.number().exactOptional(),
  focalLengthMm: z.number().exactOptional(),
  latitude: z.number().exactOptional(),
  longitude: z.number().exactOptional(),
  altitudeMetres: z.number().exactOptional(),
  heightOverStartMetres: z.number().exactOptional(),
  groundSpeedMetresPerSecond: z.number().exactOptional(),
  headingDegrees: z.number().exactOptional(),
  cameraPitchDegrees: z.number().exactOptional(),
  rollingShutterSkewSeconds: z.number().exactOptional(),
  recordedFilterStops: z.number().exactOptional(),
});

export const track = z.object({
  source: z.string(),
  samples: z.number().int().nonnegative(),
  exposureSeconds: minMedianMax.exactOptional(),
  iso: minMedianMax.exactOptional(),
  meteredOffsetStops: minMedianMax.exactOptional(),
  timeline: z.array(trackSample).readonly(),
});
