import type { StillSequence } from '../domain/sequence.ts';
import { median } from '../domain/statistics.ts';
import type { TimedStill } from './sequences.ts';

/** Fewer stills at even distances come about by chance. */
const fewestFrames = 5;

/** Seconds. Slower than that is a look now and then; common practice, no source. */
const longestIntervalSeconds = 120;

/** Seconds. What follows faster is a burst; common practice, no source. */
const shortestIntervalSeconds = 0.8;

/** Frames that may be missing in a row before it is another series. */
const mostMissing = 10;

/** How far a distance may be off: a tenth of it, and what a busy camera is late. */
const offFraction = 0.1;
const lateSeconds = 0.15;

/** Distances that make up the first guess of an interval. */
const guessedFrom = 6;

interface Run {
  readonly stills: readonly TimedStill[];
  /** Intervals between each still and the one before. */
  readonly counts: readonly number[];
}

/** Series at an even interval among stills of one camera and size, in the order of time. */
export function intervalSeriesIn(stills: readonly TimedStill[]): readonly StillSequence[] {
  const found: StillSequence[] = [];
  for (let from = 0; from + fewestFrames <= stills.length;) {
    const run = runFrom(stills.slice(from));
    if (run === undefined) {
      from += 1;
      continue;
    }
    found.push(seriesOf(run));
    from += run.stills.length;
  }
  return found;
}

function runFrom(stills: readonly TimedStill[]): Run | undefined {
  const distances = stills.slice(1).map((still, index) => still.atSeconds - stills[index]!.atSeconds);
  const interval = median(distances.slice(0, guessedFrom));
  if (interval === undefined) return undefined;
  if (interval < shortestIntervalSeconds || interval > longestIntervalSeconds) return undefined;
  const counts: number[] = [];
  for (const [index, distance] of distances.entries()) {
    const count = intervalCount(distance, interval, stills[index]!.resolutionSeconds);
    if (count === undefined) break;
    counts.push(count);
  }
  const single = counts.filter((count) => count === 1).length;
  if (counts.length + 1 < fewestFrames || single * 2 <= counts.length) return undefined;
  return { stills: stills.slice(0, counts.length + 1), counts };
}

/** Of how many intervals a distance is; times to the whole second may be a second off. */
function intervalCount(distance: number, interval: number, resolutionSeconds: number): number | undefined {
  const slack = Math.max(offFraction * interval, lateSeconds) + (resolutionSeconds >= 1 ? 0.9 : 0);
  if (Math.abs(distance - interval) <= slack) return 1;
  const count = Math.round(distance / interval);
  const fits = count >= 2 && count <= mostMissing + 1 && Math.abs(distance - count * interval) <= slack;
  return fits ? count : undefined;
}

function seriesOf({ stills, counts }: Run): StillSequence {
  const intervals = counts.reduce((sum, count) => sum + count, 0);
  const lasted = stills.at(-1)!.atSeconds - stills[0]!.atSeconds;
  return {
    kind: 'interval',
    members: stills.map(({ recording }) => recording),
    intervalSeconds: lasted / intervals,
    missingBefore: [0, ...counts.map((count) => count - 1)],
  };
}
