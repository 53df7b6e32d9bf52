import { framesPerSecond } from '../domain/frameRate.ts';
import { combinedReadings, sightedValue, type Reading } from './sighting.ts';

/** What readers of telemetry must know of the clip that it belongs to. */
export interface ClipContext {
  /** Capture rate, for shutters recorded as an angle. */
  readonly framesPerSecond?: number;
  readonly durationSeconds?: number;
  /** The container's own position. */
  readonly place?: { readonly latitude: number; readonly longitude: number };
}

export function clipContext(readings: readonly Reading[]): ClipContext {
  const { sightings } = combinedReadings(readings);
  const rate = sightedValue(sightings, 'frameRate');
  const latitude = sightedValue(sightings, 'latitude');
  const longitude = sightedValue(sightings, 'longitude');
  return {
    framesPerSecond: rate === undefined ? undefined : framesPerSecond(rate),
    durationSeconds: sightedValue(sightings, 'durationSeconds'),
    place: latitude === undefined || longitude === undefined ? undefined : { latitude, longitude },
  };
}
