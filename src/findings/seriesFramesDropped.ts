import { z } from 'zod';
import { counted, formatDuration, formatPercent } from '../domain/format.ts';
import { commonPractice, finding, type JudgedSequence } from './finding.ts';

/** A twentieth of the frames may be lost before a jump is more than a blink; common practice, no source. */
const fewMissingFraction = 0.05;

export const seriesFramesDropped = finding({
  kind: 'series-frames-dropped',
  data: z.object({ missingFrames: z.number(), gaps: z.number(), longestGapSeconds: z.number() }),
  topic: 'series',
  title: 'frames of the series missing',
  check: ({ sequence }: JudgedSequence) => {
    if (sequence.kind !== 'interval') return undefined;
    const { missingBefore, members, intervalSeconds } = sequence;
    const gaps = missingBefore.filter((missing) => missing > 0);
    const missingFrames = gaps.reduce((sum, missing) => sum + missing, 0);
    if (missingFrames === 0) return undefined;
    const few = missingFrames / (members.length + missingFrames) < fewMissingFraction;
    return {
      weight: few && Math.max(...gaps) === 1 ? 'low' : 'medium',
      missingFrames,
      gaps: gaps.length,
      longestGapSeconds: (Math.max(...gaps) + 1) * intervalSeconds,
    };
  },
  sentence: ({ missingFrames, gaps, longestGapSeconds }) =>
    `The series lacks ${counted(missingFrames, 'frame')}, in ${counted(gaps, 'place')}; ` +
    `the longest pause is ${formatDuration(longestGapSeconds)}. The played series jumps there.`,
  remedy: () => ({
    inTheEdit: 'Let the editing program make the missing frames from their neighbours.',
    nextTime: 'Take a longer interval or smaller files: the camera did not keep up, or lost its trigger.',
  }),
  meaning: 'Frames that the interval promises are not there. The played series jumps at those places.',
  limit: {
    at: `one missing frame; flagged from ${formatPercent(fewMissingFraction)} of all frames, or two in a row`,
    reason: 'fewer single frames are no more than a blink',
    source: commonPractice,
  },
  example: { weight: 'medium', missingFrames: 3, gaps: 2, longestGapSeconds: 15 },
});
