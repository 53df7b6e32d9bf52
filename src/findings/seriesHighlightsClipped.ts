import { z } from 'zod';
import { counted, formatPercent } from '../domain/format.ts';
import { defaultLimits } from '../domain/limits.ts';
import { clippedWeight, worstClippedFrame } from './clipping.ts';
import { finding, type JudgedSequence } from './finding.ts';

export const seriesHighlightsClipped = finding({
  kind: 'series-highlights-clipped',
  data: z.object({ frames: z.number(), ofFrames: z.number(), maxFraction: z.number() }),
  topic: 'series',
  title: 'highlights clipped in the series',
  check: ({ sequence, evidence, limits }: JudgedSequence) => {
    if (sequence.kind !== 'interval' && sequence.kind !== 'mapping') return undefined;
    const burnt = evidence
      .map(({ measurement }) => (measurement && worstClippedFrame(measurement, 'area'))?.clippedFraction ?? 0)
      .filter((fraction) => fraction > limits.clippedFraction);
    if (burnt.length === 0) return undefined;
    const maxFraction = Math.max(...burnt);
    return {
      weight: clippedWeight(maxFraction, limits),
      frames: burnt.length,
      ofFrames: sequence.members.length,
      maxFraction,
    };
  },
  sentence: ({ frames, ofFrames, maxFraction }) =>
    `Highlights are clipped in ${frames} of ${counted(ofFrames, 'frame')}, in up to ${formatPercent(maxFraction)} of the picture. ` +
    'No detail is left there to bring back.',
  remedy: () => ({
    inTheEdit: 'What is white is gone for good.',
    nextTime: 'Expose for the brightest picture to come.',
  }),
  meaning:
    'A part of the picture is pure white in frames of the series, and no detail is left there to bring back.',
  limit: {
    at: `more than ${formatPercent(defaultLimits.clippedFraction)} of a frame; more than five times as much weighs high`,
    reason: 'as for highlights-clipped',
    source: 'EBU R 103 (versions 2 and 3); five times: common practice, no source',
  },
  example: { weight: 'medium', frames: 12, ofFrames: 240, maxFraction: 0.04 },
});
