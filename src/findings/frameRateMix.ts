import { z } from 'zod';
import { formatRate } from '../domain/format.ts';
import { framesPerSecond } from '../domain/frameRate.ts';
import { finding, type FlightLight, type JudgedMember } from './finding.ts';

/** Two clips make no common rate. */
const fewestClips = 3;

/** 30000/1001 in a row of 30 costs a frame in 33 s, which nobody sees. */
const sameFraction = 0.002;

/**
 * Faster is shot for slow motion and slower for a time-lapse, neither is cut at: the rates of Recommendation ITU-R
 * BT.709-6. Everything is a multiple of 1 frame/s.
 */
const slowestCut = 24 / 1.001;
const fastestCut = 60;

export const frameRateMix = finding({
  kind: 'frame-rate-mix',
  data: z.object({
    framesPerSecond: z.number(),
    /** The rate that most clips of the flight can be cut at. */
    commonFramesPerSecond: z.number(),
  }),
  topic: 'frames',
  title: 'frame rate differs from the flight',
  check: ({ member, flight }: JudgedMember) => {
    const rate = playedRate(member);
    if (rate === undefined) return undefined;
    const rates = flight.flatMap((each) => playedRate(each) ?? []);
    const common = commonRate(rates);
    if (common === undefined || rates.length < fewestClips || cutsWith(rate, common)) return undefined;
    return { weight: 'low', framesPerSecond: rate, commonFramesPerSecond: common };
  },
  sentence: ({ framesPerSecond: rate, commonFramesPerSecond }) =>
    `At ${formatRate(rate)} fps it does not go evenly with ${formatRate(commonFramesPerSecond)} fps, which fits most of the flight: ` +
    'cut together, frames are shown twice or left out, and motion stutters.',
  remedy: () => ({
    inTheEdit: 'Use it for short shots, or let the editing program interpolate frames.',
    nextTime: 'Keep the whole flight at one rate or at multiples of it.',
  }),
  meaning:
    'The clip plays at a rate that is no multiple of the one that fits most of the flight. Cut together, frames are shown ' +
    'twice or left out, and motion stutters.',
  limit: {
    at: `a rate that is no whole multiple of the common one, to ${sameFraction * 100}%; three clips or more`,
    reason: '29.97 in a row of 30 frames/s costs a frame in 33 s, which nobody sees',
    source: 'arithmetic; the rates that are cut at: Recommendation ITU-R BT.709-6',
  },
  example: { weight: 'low', framesPerSecond: 25, commonFramesPerSecond: 30 },
});

function playedRate({ recording: { kind, facts } }: FlightLight): number | undefined {
  const rate = facts.playbackFrameRate ?? facts.frameRate;
  return kind === 'clip' && rate ? framesPerSecond(rate.value) : undefined;
}

/** The rate that most clips can be cut at; of equals the one that most were shot at, then the slowest. */
function commonRate(rates: readonly number[]): number | undefined {
  const cutAt = rates.filter(
    (rate) => rate >= slowestCut * (1 - sameFraction) && rate <= fastestCut * (1 + sameFraction),
  );
  const candidates = cutAt.length > 0 ? cutAt : rates;
  const cuttable = (base: number) => rates.filter((rate) => cutsWith(rate, base)).length;
  const shot = (base: number) => rates.filter((rate) => isSame(rate / base)).length;
  return [...new Set(candidates)].sort((a, b) => cuttable(b) - cuttable(a) || shot(b) - shot(a) || a - b)[0];
}

/** A whole multiple can be cut evenly: every second frame or slow motion one way, every frame twice the other. */
function cutsWith(rate: number, common: number): boolean {
  const ratio = Math.max(rate / common, common / rate);
  return isSame(ratio / Math.round(ratio));
}

function isSame(ratio: number): boolean {
  return Math.abs(ratio - 1) <= sameFraction;
}
