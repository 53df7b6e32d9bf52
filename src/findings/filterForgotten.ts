import { z } from 'zod';
import { displayText } from '../domain/displayText.ts';
import { stopsInWords } from '../domain/format.ts';
import { doubtedFilter, filterLimit } from './filterLight.ts';
import { finding, type JudgedMember } from './finding.ts';

export const filterForgotten = finding({
  kind: 'filter-forgotten',
  data: z.object({
    label: z.string(),
    filterStops: z.number(),
    /** How much brighter the scene would have to have been than at the recordings around it. */
    brighterStops: z.number(),
  }),
  topic: 'filter',
  title: 'filter probably not on',
  check: (judged: JudgedMember) => {
    const doubted = doubtedFilter(judged);
    if (!doubted?.isForgotten) return undefined;
    const { weight, fitted, brighterStops } = doubted;
    return { weight, label: fitted.label, filterStops: fitted.stops, brighterStops };
  },
  sentence: ({ label, filterStops, brighterStops }) =>
    `Noted as fitted: ${displayText(label)}. But then the scene was ${stopsInWords(brighterStops)} brighter than at the ` +
    `recordings around it, and the filter takes ${stopsInWords(filterStops)}: it was probably not on.`,
  remedy: () => ({
    inTheEdit: 'Correct the flight notes before you trust the advice on this recording.',
    nextTime: 'Check filter and notes before take-off.',
  }),
  meaning:
    'The light fits a lens without the filter that the notes name. The picture may be fine; the advice on it is not, until ' +
    'the notes are right.',
  limit: filterLimit,
  example: { weight: 'medium', label: 'ND16', filterStops: 4, brighterStops: 3.8 },
});
