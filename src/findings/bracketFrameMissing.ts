import { z } from 'zod';
import { counted } from '../domain/format.ts';
import { halfSettingStepStops } from '../domain/exposure.ts';
import { evenStops, hasGap, stepSizes } from './bracketExposures.ts';
import { commonPractice, finding, type JudgedSequence } from './finding.ts';

const missingFrames = {
  darkest: 'the darkest is missing: it should hold the highlights',
  brightest: 'the brightest is missing: it should lift the shadows',
  between: 'one in between is missing: there is a double step',
  'darkest or brightest': 'one at an end is missing: brackets have an odd number',
} as const;

/** Cameras take 3, 5, 7 or 9 by themselves; by hand any number is taken. */
const mostByCamera = 9;

export const bracketFrameMissing = finding({
  kind: 'bracket-frame-missing',
  data: z.object({
    frames: z.number(),
    missing: z.enum(['darkest', 'brightest', 'between', 'darkest or brightest']),
  }),
  topic: 'bracket',
  title: 'bracket frame missing',
  check: (judged: JudgedSequence) => {
    const missing = missingFrame(judged);
    return missing && { weight: 'medium', frames: judged.sequence.members.length, missing };
  },
  sentence: ({ frames, missing }) =>
    `Of this bracket ${counted(frames, 'frame')} ${frames === 1 ? 'is' : 'are'} there, and ${missingFrames[missing]}.`,
  remedy: () => ({
    inTheEdit: 'Merge what is there; the missing range has less detail or more noise.',
    nextTime: 'Wait until the camera has stored the whole bracket before you move on or press again.',
  }),
  meaning:
    'A frame of the bracket is not on the card. Merging works with what is there, with less detail or more noise in the range ' +
    'that is missing.',
  limit: {
    at: `one step twice as large as all others, to ${evenStops} stop, or an even number of biased frames, where a file number is missing too`,
    reason:
      'a camera takes an odd number of frames at even distances, and file numbers that run on say that it lost none',
    source: commonPractice,
  },
  example: { weight: 'medium', frames: 4, missing: 'brightest' },
});

/** What the exposures miss, unless the file numbers run on: then the camera never took it. */
function missingFrame({ sequence, ...judged }: JudgedSequence): keyof typeof missingFrames | undefined {
  if (sequence.kind !== 'bracket') return undefined;
  const { members, skippedNumbers } = sequence;
  const sizes = stepSizes({ sequence, ...judged });
  const biases = members.map(({ facts }) => facts.exposureBiasStops?.value ?? Number.NaN);
  const sum = Math.min(...biases) + Math.max(...biases);
  // By hand people step as they like.
  const isByCamera = new Set(biases).size === members.length && members.length <= mostByCamera;
  if (sizes === undefined || Number.isNaN(sum) || !isByCamera) return undefined;
  if (hasGap(sizes)) return skippedNumbers?.inside === 0 ? undefined : 'between';
  if (members.length % 2 === 1 || (skippedNumbers?.before === 0 && skippedNumbers.after === 0))
    return undefined;
  if (Math.abs(sum) <= halfSettingStepStops) return 'darkest or brightest';
  return sum < 0 ? 'brightest' : 'darkest';
}
