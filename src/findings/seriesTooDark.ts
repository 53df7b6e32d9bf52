import { z } from 'zod';
import { stopsInWords } from '../domain/format.ts';
import { burntWeight } from './clipping.ts';
import {
  isDoubtful,
  judgedBy,
  seriesOffsetData,
  seriesOffsetOutside,
  windowLimits,
} from './exposureWindow.ts';
import { finding, type JudgedSequence } from './finding.ts';

export const seriesTooDark = finding({
  kind: 'series-too-dark',
  /** Burnt: bright parts of its pictures are gone as well. */
  data: seriesOffsetData.extend({ isBurnt: z.boolean().optional() }),
  topic: 'series',
  title: 'series too dark',
  check: (judged: JudgedSequence) => {
    const dark = seriesOffsetOutside(judged, 'dark');
    return dark && { ...dark, isBurnt: isSeriesBurnt(judged) || undefined };
  },
  sentence: (offset) =>
    `The usual frame of the series is ${stopsInWords(offset.offsetStops)} under, ${judgedBy(offset)}.`,
  remedy: (offset, { advised }) => {
    const amount = stopsInWords(offset.offsetStops);
    if (isDoubtful(offset)) return { inTheEdit: `Brighten by ${amount} if it looks too dark.` };
    return {
      inTheEdit: `Brighten by ${amount}; averaging frames lowers the noise.`,
      nextTime: advised && offset.isBurnt !== true ? advised.sentence : moreLight(offset, amount),
    };
  },
  meaning:
    'The usual frame of the series got less light than it wants. Brightening it brings up noise, which averaging frames lowers.',
  limit: windowLimits.dark,
  example: { weight: 'medium', offsetStops: -1.4, basis: 'metered', isTimeLapse: true },
});

/** Whether more than flecks is burnt out in frames of a series: then no more light is asked for. */
export function isSeriesBurnt({ evidence, limits }: Pick<JudgedSequence, 'evidence' | 'limits'>): boolean {
  return evidence.some(
    ({ measurement }) => measurement && (burntWeight(measurement, limits) ?? 'low') !== 'low',
  );
}

function moreLight(
  { isTimeLapse, isBurnt }: { readonly isTimeLapse: boolean; readonly isBurnt?: boolean },
  amount: string,
): string {
  if (isBurnt === true)
    return 'Its bright and its dark parts are farther apart than a single exposure holds: expose for the bright parts and lift the others in the edit.';
  return isTimeLapse
    ? `Expose ${amount} more, with a longer shutter.`
    : `Expose ${amount} more: without a filter, then with a higher ISO.`;
}
