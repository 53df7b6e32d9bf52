import type { Check } from '../check.ts';

/** decoded-in-part: the picture could not be read to its end. */
export const decodedInPart: Check = ({ measurement }) => {
  const ended = measurement?.endedEarly;
  return ended && { kind: 'decoded-in-part', weight: 'medium', ...ended };
};
