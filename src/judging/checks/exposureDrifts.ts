import type { TrackSample } from '../../domain/recording.ts';
import { quantile } from '../../domain/statistics.ts';
import { stopsFromRatio } from '../../domain/stops.ts';
import type { Check } from '../check.ts';

/** Stops. More than one within a clip is seen by anyone; common practice, no source. */
const mediumStops = 1;

/** Keeps a step of exactly a limit inside it. */
const roundingStops = 1e-9;

const settings = ['exposureSeconds', 'iso', 'fNumber'] as const;

/**
 * exposure-drifts: the settings moved within the clip. The range is that of the middle nine tenths of the samples,
 * so that one wild sample says nothing. A setting that most samples lack is left out: its change is not known.
 */
export const exposureDrifts: Check = ({ recording, limits }) => {
  const light = brightnessStops(recording.track?.samples ?? []);
  const low = quantile(light, 0.05);
  const high = quantile(light, 0.95);
  if (low === undefined || high === undefined || high - low <= limits.driftStops + roundingStops)
    return undefined;
  const rangeStops = high - low;
  return {
    kind: 'exposure-drifts',
    weight: rangeStops > mediumStops + roundingStops ? 'medium' : 'low',
    rangeStops,
  };
};

/** Brightness that the settings of each sample give, against an unknown but constant zero; + = brighter. */
function brightnessStops(samples: readonly TrackSample[]): readonly number[] {
  const known = settings.filter(
    (name) => samples.filter((sample) => sample[name] !== undefined).length * 2 > samples.length,
  );
  if (known.length === 0) return [];
  return samples.flatMap((sample) => {
    const stops = known.map((name) => settingStops(name, sample[name]));
    return stops.includes(undefined) ? [] : stops.reduce<number>((sum, part) => sum + (part ?? 0), 0);
  });
}

function settingStops(name: (typeof settings)[number], value: number | undefined): number | undefined {
  if (value === undefined) return undefined;
  return name === 'fNumber' ? -2 * stopsFromRatio(value) : stopsFromRatio(value);
}
