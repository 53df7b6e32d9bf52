import { framesPerSecond } from '../domain/frameRate.ts';
import type { FactName, FactValues } from '../domain/recording.ts';
import type { Reading } from './sighting.ts';
import type { Place } from './telemetryPosition.ts';

/** What readers of telemetry must know of the clip that it belongs to. */
export interface ClipContext {
  /** Capture rate, for shutters recorded as an angle. */
  readonly framesPerSecond?: number;
  readonly durationSeconds?: number;
  /** The container's own position. */
  readonly place?: Place;
}

export function clipContext(readings: readonly Reading[]): ClipContext {
  const rate = firstValue(readings, 'frameRate');
  const durationSeconds = firstValue(readings, 'durationSeconds');
  const latitude = firstValue(readings, 'latitude');
  const longitude = firstValue(readings, 'longitude');
  return {
    framesPerSecond: rate === undefined ? undefined : framesPerSecond(rate),
    durationSeconds,
    place: latitude === undefined || longitude === undefined ? undefined : { latitude, longitude },
  };
}

export function firstValue<N extends FactName>(
  readings: readonly Reading[],
  fact: N,
): FactValues[N] | undefined {
  const sightings = readings.flatMap((reading) => reading.sightings);
  return sightings.find((one) => one.fact === fact)?.value as FactValues[N] | undefined;
}
