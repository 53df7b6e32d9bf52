import type { Finding } from '../../domain/finding.ts';
import { framesPerSecond } from '../../domain/frameRate.ts';
import type { Recording } from '../../domain/recording.ts';

/** Two clips make no common rate. */
const fewestClips = 3;

/** 30000/1001 in a row of 30 costs a frame in 33 s, which nobody sees. */
const sameFraction = 0.002;

/** frame-rate-mix: clips that cannot be cut with most of the flight without frames being shown twice or left out. */
export function frameRateMix(recordings: readonly Recording[]): ReadonlyMap<string, Finding> {
  const clips = recordings.flatMap(({ kind, path, facts }) => {
    const rate = facts.playbackFrameRate ?? facts.frameRate;
    return kind === 'clip' && rate ? [{ path, rate: framesPerSecond(rate.value) }] : [];
  });
  const common = commonRate(clips.map(({ rate }) => rate));
  if (common === undefined || clips.length < fewestClips) return new Map();
  const odd = clips.filter(({ rate }) => !cutsWith(rate, common));
  return new Map(
    odd.map(({ path, rate }) => [
      path,
      { kind: 'frame-rate-mix', weight: 'low', framesPerSecond: rate, commonFramesPerSecond: common },
    ]),
  );
}

/**
 * Faster is shot for slow motion and slower for a time-lapse, neither is cut at: the rates of Recommendation ITU-R
 * BT.709-6. Everything is a multiple of 1 frame/s.
 */
const slowestCut = 24 / 1.001;
const fastestCut = 60;

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
