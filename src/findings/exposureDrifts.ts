import { z } from 'zod';
import { stopsInWords } from '../domain/format.ts';
import { defaultLimits } from '../domain/limits.ts';
import { quantile } from '../domain/statistics.ts';
import { recordedBrightness } from './exposurePumps.ts';
import { commonPractice, finding } from './finding.ts';

/** Stops. More than one within a clip is seen by anyone; common practice, no source. */
const mediumStops = 1;

/** Keeps a step of exactly a limit inside it. */
const roundingStops = 1e-9;

export const exposureDrifts = finding({
  kind: 'exposure-drifts',
  data: z.object({ rangeStops: z.number() }),
  topic: 'exposure',
  title: 'exposure changes within the clip',
  // The range is that of the middle nine tenths of the samples, so that one wild sample says nothing.
  check: ({ recording, limits }) => {
    const light = recordedBrightness(recording.track?.samples ?? []).map(({ stops }) => stops);
    const low = quantile(light, 0.05);
    const high = quantile(light, 0.95);
    if (low === undefined || high === undefined || high - low <= limits.driftStops + roundingStops)
      return undefined;
    const rangeStops = high - low;
    return { weight: rangeStops > mediumStops + roundingStops ? 'medium' : 'low', rangeStops };
  },
  sentence: ({ rangeStops }) =>
    `The exposure changes by ${stopsInWords(rangeStops)} during the clip, so brightness or blur shifts within the shot. ` +
    'Lock exposure before recording.',
  remedy: () => ({
    inTheEdit: 'Level the brightness with keyframes; differences of blur stay.',
    nextTime: 'Lock exposure time and ISO before recording.',
  }),
  meaning:
    'The recorded settings moved during the clip: the brightness shifts within the shot, or the blur where the shutter moved.',
  limit: {
    at: `more than ${defaultLimits.driftStops} stop between the settings within one clip; flagged from ${mediumStops} stop`,
    reason: 'half a stop is the step that a viewer sees in a cut or a ramp, one is seen by anyone',
    source: commonPractice,
  },
  example: { weight: 'low', rangeStops: 0.7 },
});
