import { z } from 'zod';
import { formatPercent } from '../domain/format.ts';
import type { FrameMeasure } from '../domain/measurement.ts';
import { burntWeight, scenesIn } from './clipping.ts';
import { brightnessWeight } from './exposureOffset.ts';
import { commonPractice, finding, type WholeAdvice } from './finding.ts';

/**
 * Shares of the picture, beyond what is white altogether; common practice, no source. Of 400 photographs two reach the
 * second with red, a telephone box and a room in orange lamplight, and an eye finds both flat.
 */
const remarkedFraction = 0.03;
const flaggedFraction = 0.1;
/**
 * Blue makes up 7% of brightness (Recommendation ITU-R BT.709-6, item 3.2), so shades are left where it alone is clipped:
 * in pale skies, mostly, of which an eye found none flat.
 */
const remarkedBlueFraction = flaggedFraction;

const channels = ['red', 'green', 'blue'] as const;

export const channelClipped = finding({
  kind: 'channel-clipped',
  data: z.object({ maxFraction: z.number(), channels: z.array(z.enum(channels)).readonly() }),
  topic: 'colour',
  title: 'colour clipped',
  check: ({ recording, measurement, limits }) => {
    if (measurement === undefined) return undefined;
    // Around a part that is white colours run out too: that part is the finding then.
    if ((burntWeight(measurement, limits) ?? 'low') !== 'low') return undefined;
    const fromWorst = scenesIn(measurement).toSorted((a, b) => worthOf(b) - worthOf(a));
    const [worst, usual] = [fromWorst[0], fromWorst[Math.floor(fromWorst.length / 2)]];
    if (worst === undefined || usual === undefined || worthOf(worst) <= remarkedFraction) return undefined;
    return {
      weight: brightnessWeight(recording, worthOf(usual) > flaggedFraction ? 'medium' : 'low'),
      maxFraction: colourLost(worst),
      channels: channelsLost(worst),
    };
  },
  sentence: (lost, { recordingKind }) => {
    const share = `${recordingKind === 'still' ? '' : 'up to '}${formatPercent(lost.maxFraction)}`;
    const which = lost.channels.length === 0 ? 'one channel' : lost.channels.join(' and ');
    const are = lost.channels.length > 1 ? 'are' : 'is';
    const effect =
      lost.channels.length === 1 && lost.channels[0] === 'blue'
        ? 'shades are left there, but the hue turns towards cyan when it is darkened'
        : 'shades of colour run together there';
    return `In ${share} of the picture ${which} ${are} clipped, though it is not white: ${effect}.`;
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
    at: `more than ${formatPercent(remarkedFraction)} of the picture with clipped red or green and not white, where no more is white than accepted; flagged from ${formatPercent(flaggedFraction)} of a still, or of the usual frame of a clip; with clipped blue alone remarked on from ${formatPercent(remarkedBlueFraction)}`,
    reason:
      'a saturated thing of a few percent of the picture is in many good pictures; a tenth of it is part of what the picture shows; blue carries 7% of brightness, so skies keep their shades without it',
    source: `blue: Recommendation ITU-R BT.709-6, item 3.2; the shares: ${commonPractice}`,
  },
  example: { weight: 'medium', maxFraction: 0.12, channels: ['red'] },
});

/** Where a channel is clipped and not all of them. */
function colourLost({ channelClippedFraction, clippedFraction }: FrameMeasure): number {
  return channelClippedFraction - clippedFraction;
}

/** What of it weighs as much as clipped red or green. */
function worthOf(frame: FrameMeasure): number {
  const { burntChannels: burnt, clippedFraction } = frame;
  if (burnt === undefined) return colourLost(frame);
  const blue = burnt.blue - clippedFraction;
  const ofBlue = Math.min(flaggedFraction, (blue * remarkedFraction) / remarkedBlueFraction);
  return Math.max(burnt.red - clippedFraction, burnt.green - clippedFraction, ofBlue);
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
