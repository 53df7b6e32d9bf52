import { quantile } from '../../domain/statistics.ts';
import type { Check } from '../check.ts';
import { recordedBrightness } from '../brightnessCurve.ts';

/** Stops. More than one within a clip is seen by anyone; common practice, no source. */
const mediumStops = 1;

/** Keeps a step of exactly a limit inside it. */
const roundingStops = 1e-9;

/**
 * exposure-drifts: the settings moved within the clip. The range is that of the middle nine tenths of the samples,
 * so that one wild sample says nothing.
 */
export const exposureDrifts: Check = ({ recording, limits }) => {
  const light = recordedBrightness(recording.track?.samples ?? []).map(({ stops }) => stops);
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
