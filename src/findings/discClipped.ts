import { z } from 'zod';
import { formatPercent } from '../domain/format.ts';
import { leastDiscFraction, worstClippedFrame } from './clipping.ts';
import { commonPractice, finding } from './finding.ts';

export const discClipped = finding({
  kind: 'disc-clipped',
  data: z.object({ maxFraction: z.number(), shape: z.enum(['disc', 'area']) }),
  topic: 'highlights',
  title: 'bright spot clipped',
  check: ({ measurement }) => {
    const worst = measurement && worstClippedFrame(measurement, 'disc');
    if (!worst || worst.clippedFraction < leastDiscFraction) return undefined;
    return { weight: 'low', maxFraction: worst.clippedFraction, shape: 'disc' as const };
  },
  sentence: ({ maxFraction, shape }) =>
    `${shape === 'disc' ? 'A small round spot' : 'A small area'} is pure white, ${formatPercent(maxFraction)} of the ` +
    'picture at most: probably the sun, its reflection or a lamp. No filter would bring detail back there, and none is needed for it.',
  remedy: () => ({ inTheEdit: 'Leave it white: pulled down it turns grey.' }),
  meaning:
    'The sun, its reflection or a lamp is in the picture. No exposure would hold it, so it is a remark and no fault.',
  limit: {
    at: `one round spot of at least ${formatPercent(leastDiscFraction)} of the picture`,
    reason: 'a smaller spot is one of the glints that every sunlit scene has',
    source: commonPractice,
  },
  example: { weight: 'low', maxFraction: 0.004, shape: 'disc' },
});
