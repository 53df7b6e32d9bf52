import { stopsInWords } from '../domain/format.ts';
import {
  isDoubtful,
  judgedBy,
  offsetData,
  offsetOutside,
  stopsOver,
  wantedWindow,
  windowLimits,
} from './exposureWindow.ts';
import { finding } from './finding.ts';

export const tooBright = finding({
  kind: 'too-bright',
  data: offsetData,
  topic: 'exposure',
  title: 'too bright',
  check: (judged) => offsetOutside(judged, 'bright'),
  sentence: (offset, { windowStops }) =>
    `The picture is ${stopsOver(offset)}${wantedWindow(windowStops)}, ${judgedBy(offset)}.`,
  remedy: (offset, { advised }) => {
    const amount = stopsInWords(offset.offsetStops);
    if (isDoubtful(offset)) return { inTheEdit: `Darken by ${amount} if it looks too bright.` };
    return {
      // A level cannot tell a bright subject, such as a sky or a white floor, from a bright exposure.
      inTheEdit: `Darken by ${offset.basis === 'picture' ? 'up to ' : ''}${amount}; what is white stays white.`,
      nextTime: advised
        ? advised.sentence
        : `Let in ${amount} less light: a lower ISO, then a shorter shutter; in a clip, a stronger filter.`,
    };
  },
  meaning:
    'More light was let in than the picture wants. It can be darkened in the edit, and what had reached white by then stays white.',
  limit: windowLimits.bright,
  example: { weight: 'medium', offsetStops: 1, basis: 'metered' },
});
