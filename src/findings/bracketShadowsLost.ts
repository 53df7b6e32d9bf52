import { z } from 'zod';
import { formatPercent } from '../domain/format.ts';
import { defaultLimits } from '../domain/limits.ts';
import { extremeMember } from './bracketExposures.ts';
import { finding, type JudgedSequence } from './finding.ts';

export const bracketShadowsLost = finding({
  kind: 'bracket-shadows-lost',
  data: z.object({ fraction: z.number() }),
  topic: 'bracket',
  title: 'bracket does not lift the shadows',
  check: (judged: JudgedSequence) => {
    const fraction = extremeMember(judged, 1)?.measurement?.crushedFraction.max ?? 0;
    return fraction <= judged.limits.clippedFraction ? undefined : { weight: 'medium', fraction };
  },
  sentence: ({ fraction }) =>
    `Even the brightest frame of the bracket is pure black in ${formatPercent(fraction)} of the picture, so merging lifts nothing there.`,
  remedy: () => ({
    inTheEdit: 'What is black there stays black.',
    nextTime: 'Shift the whole bracket brighter, or take more frames.',
  }),
  meaning: 'Even the brightest frame of the bracket is black in places, so merging lifts no detail there.',
  limit: {
    at: `more than ${formatPercent(defaultLimits.clippedFraction)} of the brightest frame`,
    reason: 'as for shadows-crushed',
    source: 'EBU R 103 (versions 2 and 3)',
  },
  example: { weight: 'medium', fraction: 0.05 },
});
