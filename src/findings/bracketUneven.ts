import { z } from 'zod';
import { stopsInWords } from '../domain/format.ts';
import { evenStops, hasGap, isEven, stepSizes } from './bracketExposures.ts';
import { finding, type JudgedSequence } from './finding.ts';

export const bracketUneven = finding({
  kind: 'bracket-uneven',
  data: z.object({ smallestStops: z.number(), largestStops: z.number() }),
  topic: 'bracket',
  title: 'bracket steps uneven',
  check: (judged: JudgedSequence) => {
    const sizes = stepSizes(judged);
    if (sizes === undefined) return undefined;
    const [smallestStops, largestStops] = [Math.min(...sizes), Math.max(...sizes)];
    if (isEven(smallestStops, largestStops) || hasGap(sizes)) return undefined;
    return { weight: 'low', smallestStops, largestStops };
  },
  sentence: ({ smallestStops, largestStops }) =>
    `The steps of the bracket are uneven, from ${stopsInWords(smallestStops)} to ${stopsInWords(largestStops)}.`,
  remedy: () => ({ inTheEdit: 'Merge by the recorded exposure times, not by one step size.' }),
  meaning:
    'The frames of the bracket lie at uneven distances. Software that is told one step size gets the others wrong.',
  limit: {
    at: `steps that differ by more than ${evenStops} stop`,
    reason:
      'third-stop marks are rounded by up to 0.093 stop each, four of which are in a difference of steps',
    source: 'arithmetic',
  },
  example: { weight: 'low', smallestStops: 1, largestStops: 1.7 },
});
