import { factorFromStops } from '../domain/filter.ts';
import type { FittedFilter } from '../domain/kit.ts';
import type { Recording } from '../domain/recording.ts';

/** The filter that the camera itself says it had turned in, such as a built-in wheel; undefined where it says nothing. */
export function recordedFilter(recording: Recording): FittedFilter | undefined {
  const stops = recording.facts.recordedFilterStops?.value;
  if (stops === undefined) return undefined;
  const label = stops === 0 ? 'none' : `ND${Math.round(factorFromStops(stops))}`;
  return { label, stops, source: 'recorded by the camera' };
}
