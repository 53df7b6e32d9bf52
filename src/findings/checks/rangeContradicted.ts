import type { Check } from '../check.ts';

/** range-contradicted: the codes of the picture lie in the other range than the one the file names. */
export const rangeContradicted: Check = ({ recording, measurement }) => {
  const recorded = recording.facts.range?.value;
  const used = measurement?.rangeInUse;
  if (recorded === undefined || used?.basis !== 'codes' || used.name === recorded) return undefined;
  return { kind: 'range-contradicted', weight: 'medium', recorded, used: used.name };
};
