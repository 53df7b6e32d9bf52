import { stopsInWords } from '../domain/format.ts';
import {
  judgedBy,
  seriesOffsetData,
  seriesOffsetOutside,
  stopsOver,
  windowLimits,
} from './exposureWindow.ts';
import { finding, type JudgedSequence } from './finding.ts';

export const seriesTooBright = finding({
  kind: 'series-too-bright',
  data: seriesOffsetData,
  topic: 'series',
  title: 'series too bright',
  check: (judged: JudgedSequence) => seriesOffsetOutside(judged, 'bright'),
  sentence: (offset) => `The usual frame of the series is ${stopsOver(offset)}, ${judgedBy(offset)}.`,
  remedy: ({ offsetStops, isTimeLapse }) => ({
    inTheEdit: `Darken by ${stopsInWords(offsetStops)}; what is white stays white.`,
    nextTime: isTimeLapse
      ? `Take ${stopsInWords(offsetStops)} more away with a filter.`
      : `Expose ${stopsInWords(offsetStops)} less.`,
  }),
  meaning:
    'The usual frame of the series got more light than it wants. It can be darkened in the edit, and what is white stays white.',
  limit: windowLimits.bright,
  example: { weight: 'medium', offsetStops: 1, basis: 'metered', isTimeLapse: true },
});
