import type { Recording } from '../domain/recording.ts';
import { stillStops, type StillSequence } from '../domain/sequence.ts';
import { halfSettingStepStops } from '../domain/stops.ts';
import type { TimedStill } from './sequences.ts';

/*
 * What is known of exposure brackets. Cameras take 3, 5 or 7 frames (some 2 or 9) within a second or a few, each with
 * another exposure and, but for the aircraft's own way, all of one framing. Most, not all, record the bias of each
 * frame; the tag that says "auto bracket" is often overwritten by the exposure program. So the exposure pattern decides:
 * no two frames alike. Two frames are as well any two stills, so they are never called a bracket.
 */

const fewestFrames = 3;
const mostFrames = 9;

/** Seconds from the end of an exposure to the start of the next one: cameras store frames of a burst in under two. */
const longestPauseSeconds = 2;

/** Spread that a bracket has at least, with a recorded bias and without: three thirds, and more than a meter wanders. */
const leastSpanStops = { biased: 0.9, unbiased: 1.4 } as const;

/** An aircraft on its spot sways by less. */
const swayMetres = 10;
const swayDegrees = 8;

const metresPerDegree = 111_320;

/** Brackets among stills of one camera and size, in the order of time. */
export function bracketsIn(stills: readonly TimedStill[]): readonly StillSequence[] {
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
    if (round && follows(round.at(-1)!, still) && !round.some((one) => isAlike(one, still)))
      round.push(still);
    else rounds.push([still]);
  }
  return rounds;
}

function follows(one: TimedStill, next: TimedStill): boolean {
  const exposure = one.recording.facts.exposureSeconds?.value ?? 0;
  const slack = one.resolutionSeconds >= 1 ? 1 : 0;
  return next.atSeconds - one.atSeconds <= exposure + longestPauseSeconds + slack;
}

function isAlike(one: TimedStill, other: TimedStill): boolean {
  const [a, b] = [stillStops(one.recording.facts), stillStops(other.recording.facts)];
  return a === undefined || b === undefined || Math.abs(a - b) < halfSettingStepStops;
}

function isBracket(members: readonly Recording[]): boolean {
  if (members.length < fewestFrames || members.length > mostFrames) return false;
  const settings = spread(members.map(({ facts }) => stillStops(facts)));
  const biases = spread(members.map(({ facts }) => facts.exposureBiasStops?.value));
  const biased = biases >= leastSpanStops.biased && settings >= leastSpanStops.biased;
  const unbiased = biases === 0 && settings >= leastSpanStops.unbiased;
  // A recorded bias says enough: a bracket that was taken in flight is one too.
  return biased || (unbiased && sharesFraming(members));
}

function spread(values: readonly (number | undefined)[]): number {
  const known = values.filter((value) => value !== undefined);
  return known.length === 0 ? 0 : Math.max(...known) - Math.min(...known);
}

function sharesFraming([first, ...others]: readonly Recording[]): boolean {
  return first !== undefined && others.every((other) => isFramedLike(first, other));
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
