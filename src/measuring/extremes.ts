import { settingsStops } from '../domain/exposure.ts';
import type { TrackSample } from '../domain/recording.ts';

/** Less than this between the extremes is the meter's own unrest: cameras step in thirds of a stop. */
const leastSpreadStops = 0.3;

/**
 * When the recorded exposure of a clip was at its extremes: where the meter read highest and lowest, or, without a
 * meter, where the settings let in most light and least. Earliest first; none where it hardly changes.
 * @example extremeSeconds([{ startSeconds: 0, endSeconds: 2, iso: 100 }, { startSeconds: 2, endSeconds: 4, iso: 400 }]) // [1, 3]
 */
export function extremeSeconds(samples: readonly TrackSample[]): readonly number[] {
  const isMetered = samples.some(({ meteredOffsetStops }) => meteredOffsetStops !== undefined);
  const known = samples.flatMap((sample) => {
    const stops = isMetered ? sample.meteredOffsetStops : lightOf(sample);
    return stops === undefined ? [] : [{ stops, atSeconds: (sample.startSeconds + sample.endSeconds) / 2 }];
  });
  const first = known[0];
  if (first === undefined) return [];
  const lowest = known.reduce((least, one) => (one.stops < least.stops ? one : least), first);
  const highest = known.reduce((most, one) => (one.stops > most.stops ? one : most), first);
  if (highest.stops - lowest.stops < leastSpreadStops) return [];
  return [lowest.atSeconds, highest.atSeconds].sort((a, b) => a - b);
}

function lightOf(sample: TrackSample): number | undefined {
  const { exposureSeconds, iso, fNumber } = sample;
  const isKnown = exposureSeconds !== undefined || iso !== undefined || fNumber !== undefined;
  return isKnown ? settingsStops(sample) : undefined;
}
