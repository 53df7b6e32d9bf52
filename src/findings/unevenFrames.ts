import { z } from 'zod';
import { formatPercent } from '../domain/format.ts';
import { finding, noLimit } from './finding.ts';

const timings = {
  variable: 'The frames are unevenly spaced in time',
  repeating: 'Frames are missing or shown twice',
} as const;

export const unevenFrames = finding({
  kind: 'uneven-frames',
  data: z.object({
    timing: z.enum(['variable', 'repeating']),
    /** Share of the looked-at gaps between frames that differ from the usual one, where it was counted. */
    irregularFraction: z.number().optional(),
  }),
  topic: 'frames',
  title: 'frame times uneven',
  check: ({ recording: { kind, facts } }) => {
    const timing = facts.frameTiming?.value;
    if (kind !== 'clip' || timing === undefined || timing === 'constant') return undefined;
    return { weight: 'low', timing, irregularFraction: facts.irregularFrameFraction?.value };
  },
  sentence: ({ timing, irregularFraction }) =>
    `${timings[timing]}${irregularFraction === undefined ? '' : ` (${formatPercent(irregularFraction)} of the times between frames that were looked at)`}. ` +
    'The shutter angle holds for the usual frame only, and the clip may judder after editing at a constant rate.',
  remedy: () => ({ inTheEdit: 'Convert the clip to a constant rate before cutting it.' }),
  meaning:
    'The frames do not follow each other in even steps. Cut at a constant rate, frames are shown twice or left out, and ' +
    'motion judders.',
  limit: {
    at: noLimit,
    reason: 'the times of the packets show a variable rate, or gaps of whole frames',
    source: 'none is needed',
  },
  example: { weight: 'low', timing: 'variable', irregularFraction: 0.12 },
});
