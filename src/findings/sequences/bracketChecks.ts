import type { MissingFrame } from '../../domain/finding.ts';
import type { Recording } from '../../domain/recording.ts';
import { halfSettingStepStops } from '../../domain/stops.ts';
import { clippedWeight, worstClippedFrame } from '../clipping.ts';
import { bracketSteps, isEven, stepSizes } from './bracketSteps.ts';
import type { JudgedSequence, MemberEvidence, SequenceCheck } from './sequenceCheck.ts';

/** bracket-frame-missing: brackets have an odd number of frames at even distances, unless one was lost. */
export const bracketFrameMissing: SequenceCheck = ({ sequence }) => {
  if (sequence.kind !== 'bracket') return undefined;
  const missing = missingFrame(sequence.members);
  return (
    missing && { kind: 'bracket-frame-missing', weight: 'medium', frames: sequence.members.length, missing }
  );
};

function missingFrame(members: readonly Recording[]): MissingFrame | undefined {
  const steps = bracketSteps(members);
  if (steps === undefined) return undefined;
  const sizes = stepSizes(steps);
  if (hasGap(sizes)) return 'between';
  if (members.length % 2 === 1) return undefined;
  const biases = members.map(({ facts }) => facts.exposureBiasStops?.value ?? Number.NaN);
  const sum = Math.min(...biases) + Math.max(...biases);
  if (Number.isNaN(sum) || Math.abs(sum) <= halfSettingStepStops) return 'darkest or brightest';
  return sum < 0 ? 'brightest' : 'darkest';
}

/** One distance twice as large as all others. */
function hasGap(sizes: readonly number[]): boolean {
  const smallest = Math.min(...sizes);
  const large = sizes.filter((size) => !isEven(size, smallest));
  return sizes.length >= 2 && large.length === 1 && isEven(large[0]!, 2 * smallest);
}

/** bracket-uneven: merging wants even steps, and software that is told one step size gets the others wrong. */
export const bracketUneven: SequenceCheck = ({ sequence }) => {
  if (sequence.kind !== 'bracket') return undefined;
  const steps = bracketSteps(sequence.members);
  if (steps === undefined) return undefined;
  const sizes = stepSizes(steps);
  const [smallestStops, largestStops] = [Math.min(...sizes), Math.max(...sizes)];
  if (isEven(smallestStops, largestStops) || hasGap(sizes)) return undefined;
  return { kind: 'bracket-uneven', weight: 'low', smallestStops, largestStops };
};

/** bracket-settings-change: another opening shifts the depth of field, another ISO the noise, from frame to frame. */
export const bracketSettingsChange: SequenceCheck = ({ sequence }) => {
  if (sequence.kind !== 'bracket') return undefined;
  const differ = (name: 'fNumber' | 'iso') =>
    new Set(sequence.members.flatMap(({ facts }) => facts[name]?.value ?? [])).size > 1;
  const settings = [
    ...(differ('fNumber') ? (['aperture'] as const) : []),
    ...(differ('iso') ? (['ISO'] as const) : []),
  ];
  return settings.length === 0 ? undefined : { kind: 'bracket-settings-change', weight: 'medium', settings };
};

/** bracket-highlights-lost: even the darkest frame burns more than is accepted. */
export const bracketHighlightsLost: SequenceCheck = (subject) => {
  const measurement = extremeMember(subject, -1)?.measurement;
  const worst = measurement && worstClippedFrame(measurement, 'area');
  if (!worst || worst.clippedFraction <= subject.limits.clippedFraction) return undefined;
  const weight = clippedWeight(worst.clippedFraction, subject.limits);
  return { kind: 'bracket-highlights-lost', weight, fraction: worst.clippedFraction };
};

/** bracket-shadows-lost: even the brightest frame holds black without detail. */
export const bracketShadowsLost: SequenceCheck = (subject) => {
  const fraction = extremeMember(subject, 1)?.measurement?.crushedFraction.max ?? 0;
  if (fraction <= subject.limits.clippedFraction) return undefined;
  return { kind: 'bracket-shadows-lost', weight: 'medium', fraction };
};

/** The brightest (1) or the darkest (-1) frame of a bracket. */
function extremeMember({ sequence, evidence }: JudgedSequence, sign: 1 | -1): MemberEvidence | undefined {
  const steps = sequence.kind === 'bracket' ? bracketSteps(sequence.members) : undefined;
  if (steps === undefined) return undefined;
  const best = steps.reduce((at, stops, index) => (sign * stops > sign * steps[at]! ? index : at), 0);
  return evidence[best];
}
