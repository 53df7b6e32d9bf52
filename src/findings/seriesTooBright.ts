import { stopsInWords } from '../domain/format.ts';
import {
  isDoubtful,
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
  remedy: (offset, { advised }) => {
    const amount = stopsInWords(offset.offsetStops);
    if (isDoubtful(offset)) return { inTheEdit: `Darken by ${amount} if it looks too bright.` };
    return {
      inTheEdit: `Darken by ${amount}; what is white stays white.`,
      nextTime: advised ? advised.sentence : `Expose ${amount} less, with a shorter shutter.`,
    };
  },
  meaning:
    'The usual frame of the series got more light than it wants. It can be darkened in the edit, and what is white stays white.',
  limit: windowLimits.bright,
  example: { weight: 'medium', offsetStops: 1, basis: 'metered', isTimeLapse: true },
});
