import { z } from 'zod';
import { formatPercent } from '../domain/format.ts';
import { defaultLimits } from '../domain/limits.ts';
import { extremeMember } from './bracketExposures.ts';
import { burntWeight, worstClippedFrame } from './clipping.ts';
import { finding, type JudgedSequence } from './finding.ts';

export const bracketHighlightsLost = finding({
  kind: 'bracket-highlights-lost',
  data: z.object({ fraction: z.number() }),
  topic: 'bracket',
  title: 'bracket does not hold the highlights',
  check: (judged: JudgedSequence) => {
    const measurement = extremeMember(judged, -1)?.measurement;
    const worst = measurement && worstClippedFrame(measurement, 'area');
    const weight = measurement && burntWeight(measurement, judged.limits);
    return weight && worst && { weight, fraction: worst.clippedFraction };
  },
  sentence: ({ fraction }) =>
    `Even the darkest frame of the bracket burns in ${formatPercent(fraction)} of the picture, so merging brings nothing back there.`,
  remedy: () => ({
    inTheEdit: 'What is white there is gone for good.',
    nextTime: 'Shift the whole bracket darker, or take more frames.',
  }),
  meaning:
    'Even the darkest frame of the bracket is white in places, so merging brings no detail back there.',
  limit: {
    at: `more than ${formatPercent(defaultLimits.clippedFraction)} of the darkest frame; flagged where one part is as large, or scattered flecks add up to five times as much; one part of more than five times as much weighs high`,
    reason: 'as for highlights-clipped',
    source: 'EBU R 103 (versions 2 and 3); five times: common practice, no source',
  },
  example: { weight: 'medium', fraction: 0.03 },
});
