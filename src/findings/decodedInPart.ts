import { z } from 'zod';
import { displayText } from '../domain/displayText.ts';
import { formatDuration, formatPercent } from '../domain/format.ts';
import { finding, noLimit } from './finding.ts';

export const decodedInPart = finding({
  kind: 'decoded-in-part',
  data: z.object({
    /** 0 for a still. */
    atSeconds: z.number(),
    reason: z.string(),
    /** Of a still: the share of the picture that could be read. */
    readFraction: z.number().optional(),
    /** What the decoder said, in its own words. */
    detail: z.string().optional(),
  }),
  topic: 'file',
  title: 'picture read only in part',
  check: ({ measurement }) => measurement?.endedEarly && { weight: 'medium', ...measurement.endedEarly },
  sentence: ({ atSeconds, reason, readFraction }) =>
    readFraction === undefined
      ? `The picture could be read only up to ${formatDuration(atSeconds)} (${displayText(reason)}). What was measured before that stands.`
      : `${stillReadInPart(readFraction)}. What was measured is of what could be read.`,
  remedy: ({ readFraction }) => ({
    inTheEdit: `Copy the file from the card again${readFraction === undefined ? '; use it up to that place' : ''}.`,
  }),
  meaning:
    'The file is damaged or ends early, so its picture could not be read to the end. The copy may have failed, or the camera ' +
    'lost power while it wrote.',
  limit: { at: noLimit, reason: 'the decoder stopped, or reported damage', source: 'none is needed' },
  example: { weight: 'medium', atSeconds: 12.4, reason: 'the data ends early' },
});

/** The coarse layers of some files come first: then all of the picture is there, without its detail. */
function stillReadInPart(readFraction: number): string {
  return readFraction >= 0.995
    ? 'The file ends early, or is damaged: the picture lacks detail'
    : `The file ends early, or is damaged: only about ${formatPercent(readFraction)} of the picture could be read`;
}
