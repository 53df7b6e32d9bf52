import { stopsInWords } from '../domain/format.ts';
import { judgedBy, seriesOffsetData, seriesOffsetOutside, windowLimits } from './exposureWindow.ts';
import { finding, type JudgedSequence } from './finding.ts';

export const seriesTooDark = finding({
  kind: 'series-too-dark',
  data: seriesOffsetData,
  topic: 'series',
  title: 'series too dark',
  check: (judged: JudgedSequence) => seriesOffsetOutside(judged, 'dark'),
  sentence: (offset) =>
    `The usual frame of the series is ${stopsInWords(offset.offsetStops)} under, ${judgedBy(offset)}.`,
  remedy: ({ offsetStops, isTimeLapse }) => ({
    inTheEdit: `Brighten by ${stopsInWords(offsetStops)}; averaging frames lowers the noise.`,
    nextTime: isTimeLapse
      ? `Take ${stopsInWords(offsetStops)} less away with a filter.`
      : `Expose ${stopsInWords(offsetStops)} more.`,
  }),
  meaning:
    'The usual frame of the series got less light than it wants. Brightening it brings up noise, which averaging frames lowers.',
  limit: windowLimits.dark,
  example: { weight: 'medium', offsetStops: -1.4, basis: 'metered', isTimeLapse: true },
});
