import { z } from 'zod';
import { counted, formatPercent } from '../domain/format.ts';
import { defaultLimits } from '../domain/limits.ts';
import { burntWeight, worstClippedFrame } from './clipping.ts';
import { finding, type JudgedSequence } from './finding.ts';
import { inParts } from './highlightsClipped.ts';

const fromHigh = ['high', 'medium', 'low'] as const;

export const seriesHighlightsClipped = finding({
  kind: 'series-highlights-clipped',
  data: z.object({
    frames: z.number(),
    ofFrames: z.number(),
    maxFraction: z.number(),
    /** The largest burnt part of any frame. */
    largestFraction: z.number().optional(),
  }),
  topic: 'series',
  title: 'highlights clipped in the series',
  check: ({ sequence, evidence, limits }: JudgedSequence) => {
    if (sequence.kind !== 'interval' && sequence.kind !== 'mapping') return undefined;
    const burnt = evidence.flatMap(({ measurement }) => {
      const weight = measurement && burntWeight(measurement, limits);
      const worst = measurement && worstClippedFrame(measurement, 'area');
      return weight && worst ? { weight, worst } : [];
    });
    if (burnt.length === 0) return undefined;
    return {
      weight: fromHigh.find((weight) => burnt.some((frame) => frame.weight === weight))!,
      frames: burnt.length,
      ofFrames: sequence.members.length,
      maxFraction: Math.max(...burnt.map(({ worst }) => worst.clippedFraction)),
      largestFraction: Math.max(...burnt.map(({ worst }) => worst.largestRegionFraction)),
    };
  },
  sentence: ({ frames, ofFrames, maxFraction, largestFraction }) =>
    `Highlights are clipped in ${frames} of ${counted(ofFrames, 'frame')}, in up to ${formatPercent(maxFraction)} of the picture${scattered(maxFraction, largestFraction)}. ` +
    'No detail is left there to bring back.',
  remedy: () => ({
    inTheEdit: 'What is white is gone for good.',
    nextTime: 'Expose for the brightest picture to come.',
  }),
  meaning:
    'A part of the picture is pure white in frames of the series, and no detail is left there to bring back.',
  limit: {
    at: `more than ${formatPercent(defaultLimits.clippedFraction)} of a frame; flagged where one part is as large, or scattered flecks add up to five times as much; one part of more than five times as much weighs high`,
    reason: 'as for highlights-clipped',
    source: 'EBU R 103 (versions 2 and 3); five times: common practice, no source',
  },
  example: { weight: 'medium', frames: 12, ofFrames: 240, maxFraction: 0.04, largestFraction: 0.03 },
});

function scattered(maxFraction: number, largestFraction = maxFraction): string {
  return largestFraction >= 0.5 * maxFraction ? '' : `, ${inParts(largestFraction)}`;
}
