import type { Measurement } from '../domain/measurement.ts';
import type { Recording } from '../domain/recording.ts';
import { median } from '../domain/statistics.ts';
import type { ExposureOffset } from './check.ts';

/**
 * How far a recording's exposure is off, + = over: by the camera's meter where it recorded that, else by the mean
 * level of the measured picture against mid-grey, which also depends on the subject; else undefined.
 */
export function exposureOffset(
  recording: Recording,
  measurement: Measurement | undefined,
): ExposureOffset | undefined {
  const metered = recording.facts.meteredOffsetStops?.value ?? trackMedian(recording);
  if (metered !== undefined) return { offsetStops: metered, basis: 'metered' };
  const level = measurement?.levelStops?.median;
  return level === undefined ? undefined : { offsetStops: level, basis: 'picture' };
}

function trackMedian(recording: Recording): number | undefined {
  return median((recording.track?.samples ?? []).flatMap((sample) => sample.meteredOffsetStops ?? []));
}
