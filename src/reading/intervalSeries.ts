import { turnDegrees, viewMetres, wayMetres } from '../domain/cameraWay.ts';
import type { Facts } from '../domain/recording.ts';
import { playbackRates, type IntervalSeries } from '../domain/sequence.ts';
import { median } from '../domain/statistics.ts';
import type { TimedStill } from './recordedTime.ts';

/*
 * What makes a time-lapse. Pictures at an even distance alone do not: mapping flights, walks and patient people take them
 * too. Somebody meant one where the notes say so, where each picture was exposed for a good part of the interval, which
 * nobody does for a single picture, or where the camera stood (or went slowly, looking one way) for long enough to play.
 */

/** Fewer stills at even distances come about by chance. */
const fewestInSeries = 5;
/**
 * Shorter is no shot, at the slowest rate of playback; common practice, no source. Where positions show that the camera
 * stood, chance is less likely.
 */
const shortestPlaySeconds = { onOneSpot: 1, otherwise: 2 } as const;
/** What is slower is a look now and then; common practice, no source. */
const longestIntervalSeconds = 120;
/** What follows faster is a burst; common practice, no source. */
const shortestIntervalSeconds = 0.8;
/** Share of the interval from which an exposure was chosen for motion: some blur shows; common practice, no source. */
const chosenExposureShare = 0.1;
/** Frames that may be missing in a row before it is another series. */
const mostMissing = 10;
/** How far a distance may be off: a tenth of it, and what a busy camera is late. */
const offFraction = 0.1;
const lateSeconds = 0.15;
/** Distances that make up the first guess of an interval. */
const guessedFrom = 6;

/** Way between two frames that still is one spot, by what positions and wind make of it; common practice, no source. */
const spotMetres = 1.5;
/** Farthest from where it began that a camera drifts that hovers; common practice, no source. */
const hoverMetres = 5;
/** Slow, as a share of what the camera sees of the ground at its height; common practice, no source. */
const slowShare = 0.1;
/** Turn between two frames that a slow pan has at most. */
const panDegrees = 4;
/** Below it a camera looks at the ground, which moves. */
const groundPitchDegrees = -45;

interface Run {
  readonly stills: readonly TimedStill[];
  /** Intervals between each still and the one before. */
  readonly counts: readonly number[];
  readonly intervalSeconds: number;
}

/**
 * Time-lapses among stills of one camera and size, in the order of time.
 * @param isNoted whether the notes say that these are one
 * @param skippedBetween how many file numbers lie between two stills that no file has; undefined where nobody knows
 */
export function intervalSeriesIn(
  stills: readonly TimedStill[],
  isNoted: boolean,
  skippedBetween: (from: TimedStill, to: TimedStill) => number | undefined,
): readonly IntervalSeries[] {
  return joinedRuns(runsIn(stills)).flatMap((run) => {
    const sign = isNoted ? 'notes' : signOf(run);
    return sign === undefined ? [] : [{ ...seriesOf(run, skippedBetween), sign }];
  });
}

function runsIn(stills: readonly TimedStill[]): readonly Run[] {
  const runs: Run[] = [];
  for (let from = 0; from + fewestInSeries <= stills.length;) {
    const run = runFrom(stills.slice(from));
    if (run) runs.push(run);
    from += run?.stills.length ?? 1;
  }
  return runs;
}

/** A camera that was stopped for a moment goes on at the same interval, out of step. */
function joinedRuns(runs: readonly Run[]): readonly Run[] {
  const joined: Run[] = [];
  for (const run of runs) {
    const before = joined.at(-1);
    const pause = before && run.stills[0]!.atSeconds - before.stills.at(-1)!.atSeconds;
    const count = pause && Math.round(pause / run.intervalSeconds);
    const goesOn =
      before !== undefined &&
      Math.abs(before.intervalSeconds - run.intervalSeconds) <= offFraction * run.intervalSeconds &&
      count !== undefined &&
      count >= 1 &&
      count <= mostMissing + 1;
    if (!goesOn) joined.push(run);
    else
      joined[joined.length - 1] = {
        stills: [...before.stills, ...run.stills],
        counts: [...before.counts, count, ...run.counts],
        intervalSeconds: (before.intervalSeconds + run.intervalSeconds) / 2,
      };
  }
  return joined;
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
  if (counts.length + 1 < fewestInSeries || single * 2 <= counts.length) return undefined;
  const members = stills.slice(0, counts.length + 1);
  const intervals = counts.reduce((sum, count) => sum + count, 0);
  const lasted = members.at(-1)!.atSeconds - members[0]!.atSeconds;
  return { stills: members, counts, intervalSeconds: lasted / intervals };
}

/** Of how many intervals a distance is; times to the whole second may be a second off. */
function intervalCount(distance: number, interval: number, resolutionSeconds: number): number | undefined {
  const slack = Math.max(offFraction * interval, lateSeconds) + (resolutionSeconds >= 1 ? 0.9 : 0);
  if (Math.abs(distance - interval) <= slack) return 1;
  const count = Math.round(distance / interval);
  const fits = count >= 2 && count <= mostMissing + 1 && Math.abs(distance - count * interval) <= slack;
  return fits ? count : undefined;
}

function signOf({ stills, intervalSeconds }: Run): IntervalSeries['sign'] | undefined {
  const facts = stills.map(({ recording }) => recording.facts);
  const exposure = median(facts.flatMap(({ exposureSeconds }) => exposureSeconds?.value ?? []));
  if ((exposure ?? 0) >= chosenExposureShare * intervalSeconds) return 'long-exposures';
  const pairs = facts.slice(1).map((to, at) => [facts[at]!, to] as const);
  const turn = median(pairs.flatMap(([from, to]) => Math.abs(turnDegrees(from, to) ?? 0)));
  if ((turn ?? 0) > panDegrees) return undefined;
  const step = median(pairs.flatMap(([from, to]) => wayMetres(from, to) ?? []));
  const ways = facts.slice(1).flatMap((to) => wayMetres(facts[0]!, to) ?? []);
  const isOnOneSpot = ways.length > 0 && Math.max(...ways) <= hoverMetres;
  const fewest = shortestPlaySeconds[isOnOneSpot ? 'onOneSpot' : 'otherwise'] * Math.min(...playbackRates);
  if (stills.length < fewest) return undefined;
  return step === undefined || step <= spotMetres || isSlow(facts, step) ? 'playing-time' : undefined;
}

/** Whether the camera went slowly for what it saw, and did not look at the ground, which moves. */
function isSlow(facts: readonly Facts[], step: number): boolean {
  const view = median(facts.flatMap((each) => viewMetres(each) ?? []));
  const pitch = median(facts.flatMap(({ cameraPitchDegrees }) => cameraPitchDegrees?.value ?? []));
  return view !== undefined && pitch !== undefined && pitch > groundPitchDegrees && step <= slowShare * view;
}

/** Where the file numbers run on, the camera took a longer breath, and nothing is missing. */
function seriesOf(
  { stills, counts, intervalSeconds }: Run,
  skippedBetween: (from: TimedStill, to: TimedStill) => number | undefined,
) {
  const missing = counts.map((count, at) =>
    Math.min(count - 1, skippedBetween(stills[at]!, stills[at + 1]!) ?? Infinity),
  );
  return {
    kind: 'interval' as const,
    members: stills.map(({ recording }) => recording),
    intervalSeconds,
    missingBefore: [0, ...missing],
  };
}
