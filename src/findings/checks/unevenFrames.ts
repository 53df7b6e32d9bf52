import type { Check } from '../check.ts';

/** uneven-frames: the packet times of a clip show a variable rate, or frames that are missing or doubled. */
export const unevenFrames: Check = ({ recording: { kind, facts } }) => {
  const timing = facts.frameTiming?.value;
  if (kind !== 'clip' || timing === undefined || timing === 'constant') return undefined;
  const irregularFraction = facts.irregularFrameFraction?.value;
  return {
    kind: 'uneven-frames',
    weight: 'low',
    timing,
    irregularFraction,
  };
};
