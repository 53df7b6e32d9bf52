import { z } from 'zod';
import { displayText } from '../domain/displayText.ts';
import { finding, noLimit } from './finding.ts';

export const splitPart = finding({
  kind: 'split-part',
  data: z.object({ continuesPath: z.string() }),
  topic: 'file',
  title: 'continues another file',
  check: ({ recording: { continues } }) =>
    continues === undefined ? undefined : { weight: 'low', continuesPath: continues },
  sentence: ({ continuesPath }) =>
    `This file goes on where ${displayText(continuesPath)} ends: the camera split one recording at its size limit. Join them in the edit.`,
  remedy: () => ({ inTheEdit: 'Put both files one behind the other without a gap.' }),
  meaning:
    'The camera went on in a new file when the one before reached the largest size that the card holds. Nothing is lost ' +
    'between them.',
  limit: {
    at: noLimit,
    reason: 'the clip before ends at the largest size of a file, and this one goes on where it ends',
    source: 'none is needed',
  },
  example: { weight: 'low', continuesPath: 'DCIM/100_AERO/CLIP0001.MP4' },
});
