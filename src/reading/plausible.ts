import type { TrackSample } from '../domain/recording.ts';

export type BoundedFact = Exclude<keyof TrackSample, 'startSeconds' | 'endSeconds'>;

// Wide enough for every real recording: the bounds keep out damage, not taste. Common practice, no source, except
// where a line says more.
const bounds: Readonly<Record<BoundedFact, readonly [low: number, high: number]>> = {
  // A day.
  exposureSeconds: [1e-6, 86_400],
  fNumber: [0.5, 128],
  iso: [1, 1e7],
  exposureBiasStops: [-10, 10],
  meteredOffsetStops: [-20, 20],
  evAsReadStops: [-20, 20],
  // From candles to deep shade under a blue sky.
  whiteBalanceKelvin: [1000, 25_000],
  focalLengthMm: [0.5, 5000],
  latitude: [-90, 90],
  longitude: [-180, 180],
  // Below every shore; above every balloon.
  altitudeMetres: [-500, 30_000],
  // Below the place of take-off on a mountain; as far up as balloons.
  heightOverStartMetres: [-5000, 30_000],
  // Half the speed of sound.
  groundSpeedMetresPerSecond: [0, 170],
  headingDegrees: [0, 360],
  cameraPitchDegrees: [-180, 180],
  rollingShutterSkewSeconds: [0, 1],
  recordedFilterStops: [0, 20],
};

/**
 * Why a number cannot be the fact that it claims to be; absent where it can.
 *
 * @example implausible('exposureSeconds', 0.02) // undefined
 */
export function implausible(fact: BoundedFact, value: number): string | undefined {
  const [low, high] = bounds[fact];
  if (!Number.isFinite(value)) return 'is not a number';
  // Exif PhotographicSensitivity: 65535 means 65535 or more.
  if (fact === 'iso' && value === 65535) return 'stands for a value that did not fit';
  return value >= low && value <= high ? undefined : `is not between ${low} and ${high}`;
}

/** Whether a fact is one that can change from frame to frame, a plain number with bounds. */
export function isBounded(fact: string): fact is BoundedFact {
  return Object.hasOwn(bounds, fact);
}
