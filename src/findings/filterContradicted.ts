import { z } from 'zod';
import { displayText } from '../domain/displayText.ts';
import { stopsInWords } from '../domain/format.ts';
import { doubtedFilter, filterLimit, isInKit } from './filterLight.ts';
import { finding, type JudgedMember } from './finding.ts';

export const filterContradicted = finding({
  kind: 'filter-contradicted',
  data: z.object({ label: z.string(), filterStops: z.number(), lightStops: z.number() }),
  topic: 'filter',
  title: 'filter contradicted by the light',
  check: (judged: JudgedMember) => {
    const doubted = doubtedFilter(judged);
    if (!doubted || doubted.isForgotten) return undefined;
    const { weight, fitted, brighterStops } = doubted;
    const lightStops = fitted.stops - brighterStops;
    if (!isInKit(judged.kit, lightStops)) return undefined;
    return { weight, label: fitted.label, filterStops: fitted.stops, lightStops };
  },
  sentence: ({ label, filterStops, lightStops }) =>
    `Noted as fitted: ${displayText(label)}. But beside the recordings around it the light fits ` +
    `a filter of ${lightStops < 0.05 ? 'no strength, so none' : stopsInWords(lightStops)}${filterStops === 0 ? '' : `, not ${stopsInWords(filterStops)}`}.`,
  remedy: () => ({
    inTheEdit: 'Correct the flight notes if they are wrong.',
    nextTime:
      'Compare one scene with and without the filter: the difference of the exposures is its true strength.',
  }),
  meaning:
    'The light fits another filter of the kit than the one that the notes name. The picture may be fine; the advice on it is ' +
    'not, until the notes are right.',
  limit: filterLimit,
  example: { weight: 'low', label: 'ND8', filterStops: 3, lightStops: 5 },
});
