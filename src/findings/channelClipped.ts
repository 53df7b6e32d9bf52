import { z } from 'zod';
import { formatPercent } from '../domain/format.ts';
import type { FrameMeasure } from '../domain/measurement.ts';
import { worstClippedFrame } from './clipping.ts';
import { commonPractice, finding, type WholeAdvice } from './finding.ts';

/** Share of the picture, beyond what is white altogether. */
const remarkedFraction = 0.03;
const flaggedFraction = 0.1;

const channels = ['red', 'green', 'blue'] as const;

export const channelClipped = finding({
  kind: 'channel-clipped',
  data: z.object({ maxFraction: z.number(), channels: z.array(z.enum(channels)).readonly() }),
  topic: 'colour',
  title: 'colour clipped',
  check: ({ measurement, limits }) => {
    const [worst] = measurement?.frames.toSorted((a, b) => colourLost(b) - colourLost(a)) ?? [];
    if (!measurement || !worst || colourLost(worst) <= remarkedFraction) return undefined;
    // Around a part that is white colours run out too: that part is the finding then.
    const white = worstClippedFrame(measurement, 'area')?.clippedFraction ?? 0;
    if (white > limits.clippedFraction) return undefined;
    return {
      weight: colourLost(worst) > flaggedFraction ? 'medium' : 'low',
      maxFraction: colourLost(worst),
      channels: channelsLost(worst),
    };
  },
  sentence: (lost, { recordingKind }) => {
    const share = `${recordingKind === 'still' ? '' : 'up to '}${formatPercent(lost.maxFraction)}`;
    const which = lost.channels.length === 0 ? 'one channel' : lost.channels.join(' and ');
    const are = lost.channels.length > 1 ? 'are' : 'is';
    return `In ${share} of the picture ${which} ${are} clipped, though it is not white: shades of colour run together there.`;
  },
  remedy: (_, { advised }) => ({
    inTheEdit:
      'Lower saturation and highlights of that colour before anything else; turned up, it becomes a flat patch with edges.',
    nextTime: advised?.sentence ?? watched(advised),
  }),
  meaning:
    'One or two of red, green and blue reached their end over a part of the picture that is not white. Brightness may look ' +
    'right, but hues shift there and fine shades are gone: sunsets, painted metal and flowers turn into flat patches.',
  limit: {
    at: `more than ${formatPercent(remarkedFraction)} of the picture with a clipped channel and not white, where no more is white than accepted; flagged from ${formatPercent(flaggedFraction)}`,
    reason:
      'a saturated thing of a few percent of the picture is in many good pictures; a tenth of it is part of what the picture shows',
    source: commonPractice,
  },
  example: { weight: 'medium', maxFraction: 0.12, channels: ['red'] },
});

/** Where a channel is clipped and not all of them. */
function colourLost({ channelClippedFraction, clippedFraction }: FrameMeasure): number {
  return channelClippedFraction - clippedFraction;
}

/** Those that have a part in at least half of it. */
function channelsLost(frame: FrameMeasure): readonly (typeof channels)[number][] {
  const { burntChannels, clippedFraction } = frame;
  if (burntChannels === undefined) return [];
  return channels.filter((channel) => burntChannels[channel] - clippedFraction > colourLost(frame) / 2);
}

/** Where the advice wants a brighter picture all the same, nothing darker is asked for. */
function watched(advised: WholeAdvice | undefined): string {
  const darker = advised?.mayBeDarker === false ? '' : ', and expose about half a stop darker';
  return `Watch the histogram of each channel, not of brightness alone${darker}.`;
}
