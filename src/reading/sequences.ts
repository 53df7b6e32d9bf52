import { halfSettingStepStops } from '../domain/exposure.ts';
import { groupedBy } from '../domain/grouping.ts';
import type { Recording } from '../domain/recording.ts';
import { stillStops, type StillSequence } from '../domain/sequence.ts';
import { median } from '../domain/statistics.ts';
import { compareText } from './fileNames.ts';
import { clockTime, type ClockTime } from './recordedTime.ts';

interface TimedStill extends ClockTime {
  readonly recording: Recording;
}

/**
 * Groups stills into brackets and interval series, in the order of time. The order of the recordings makes no
 * difference; stills without a recorded time, and composites, which are pictures of their own, stay out.
 */
export function groupSequences(recordings: readonly Recording[]): readonly StillSequence[] {
  const stills = recordings.flatMap((recording): readonly TimedStill[] => {
    const time = clockTime(recording);
    return recording.kind === 'still' && time && !recording.facts.composite ? [{ recording, ...time }] : [];
  });
  const sequences = [...groupedBy(stills, likeness).values()].flatMap((alike) => {
    const ordered = alike.toSorted(byTime);
    const brackets = bracketsIn(ordered);
    const taken = new Set(brackets.flatMap(({ members }) => members));
    return [...brackets, ...intervalSeriesIn(ordered.filter(({ recording }) => !taken.has(recording)))];
  });
  const start = ({ members }: StillSequence) => clockTime(members[0]!)!.atSeconds;
  return sequences.sort((a, b) => start(a) - start(b));
}

/** By camera, file type and shape: a raw picture beside its JPEG is no second frame. */
function likeness({ recording }: TimedStill): string {
  const { camera, codec, width, height } = recording.facts;
  return [camera, codec, width, height].map((fact) => fact?.value ?? '').join('\0');
}

function byTime(a: TimedStill, b: TimedStill): number {
  return a.atSeconds - b.atSeconds || compareText(a.recording.path, b.recording.path);
}

/*
 * What is known of exposure brackets. Cameras take 3, 5 or 7 frames (some 2 or 9) within a second or a few, each with
 * another exposure and, but for the aircraft's own way, all of one framing. Most, not all, record the bias of each
 * frame; the tag that says "auto bracket" is often overwritten by the exposure program. So the exposure pattern decides:
 * no two frames alike. Two frames are as well any two stills, so they are never called a bracket.
 */

const fewestInBracket = 3;
const mostInBracket = 9;
/** Seconds from the end of an exposure to the start of the next one: cameras store frames of a burst in under two. */
const longestPauseSeconds = 2;
/** Spread that a bracket has at least, with a recorded bias and without: three thirds, and more than a meter wanders. */
const leastSpanStops = { biased: 0.9, unbiased: 1.4 };
/** An aircraft on its spot sways by less. */
const swayMetres = 10;
const swayDegrees = 8;
const metresPerDegree = 111_320;

/** Brackets among stills of one camera and size, in the order of time. */
function bracketsIn(stills: readonly TimedStill[]): readonly StillSequence[] {
  return roundsOf(stills)
    .map((round) => round.map(({ recording }) => recording))
    .filter(isBracket)
    .map((members) => ({ kind: 'bracket', members }));
}

/** Stills without a pause between them; a new round begins where an exposure comes again. */
function roundsOf(stills: readonly TimedStill[]): readonly (readonly TimedStill[])[] {
  const rounds: TimedStill[][] = [];
  for (const still of stills) {
    const round = rounds.at(-1);
    if (round && follows(round.at(-1)!, still) && !round.some((earlier) => isAlike(earlier, still)))
      round.push(still);
    else rounds.push([still]);
  }
  return rounds;
}

function follows(still: TimedStill, next: TimedStill): boolean {
  const exposure = still.recording.facts.exposureSeconds?.value ?? 0;
  const slack = still.resolutionSeconds >= 1 ? 1 : 0;
  return next.atSeconds - still.atSeconds <= exposure + longestPauseSeconds + slack;
}

function isAlike(still: TimedStill, other: TimedStill): boolean {
  const [a, b] = [stillStops(still.recording.facts), stillStops(other.recording.facts)];
  return a === undefined || b === undefined || Math.abs(a - b) < halfSettingStepStops;
}

function isBracket(members: readonly Recording[]): boolean {
  if (members.length < fewestInBracket || members.length > mostInBracket) return false;
  const settings = spread(members.map(({ facts }) => stillStops(facts)));
  const biases = spread(members.map(({ facts }) => facts.exposureBiasStops?.value));
  const biased = biases >= leastSpanStops.biased && settings >= leastSpanStops.biased;
  const unbiased = biases === 0 && settings >= leastSpanStops.unbiased;
  // A recorded bias says enough: a bracket that was taken in flight is one too.
  return biased || (unbiased && members.every((member) => isFramedLike(members[0]!, member)));
}

function spread(values: readonly (number | undefined)[]): number {
  const recorded = values.filter((value) => value !== undefined);
  return recorded.length === 0 ? 0 : Math.max(...recorded) - Math.min(...recorded);
}

function isFramedLike({ facts: a }: Recording, { facts: b }: Recording): boolean {
  const [from, to] = [a.headingDegrees?.value, b.headingDegrees?.value];
  const turned = from === undefined || to === undefined ? 0 : Math.abs(((to - from + 540) % 360) - 180);
  const zoomed = a.focalLengthMm && b.focalLengthMm && a.focalLengthMm.value !== b.focalLengthMm.value;
  const metres = (name: 'latitude' | 'longitude') =>
    a[name] && b[name] ? Math.abs(a[name].value - b[name].value) * metresPerDegree : 0;
  const across = metres('longitude') * Math.cos(((a.latitude?.value ?? 0) * Math.PI) / 180);
  return !zoomed && turned <= swayDegrees && Math.hypot(metres('latitude'), across) <= swayMetres;
}

/** Fewer stills at even distances come about by chance. */
const fewestInSeries = 5;
/** What is slower is a look now and then; common practice, no source. */
const longestIntervalSeconds = 120;
/** What follows faster is a burst; common practice, no source. */
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
function intervalSeriesIn(stills: readonly TimedStill[]): readonly StillSequence[] {
  const series: StillSequence[] = [];
  for (let from = 0; from + fewestInSeries <= stills.length;) {
    const run = runFrom(stills.slice(from));
    if (run === undefined) {
      from += 1;
      continue;
    }
    series.push(seriesOf(run));
    from += run.stills.length;
  }
  return series;
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
