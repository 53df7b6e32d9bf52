import type { Check } from '../check.ts';

/** split-part: the camera went on in a new file when this one's predecessor reached its size limit. */
export const splitPart: Check = ({ recording: { continues } }) =>
  continues === undefined ? undefined : { kind: 'split-part', weight: 'low', continuesPath: continues };
