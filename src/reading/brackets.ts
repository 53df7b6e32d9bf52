import { turnDegrees, wayMetres } from '../domain/cameraWay.ts';
import { halfSettingStepStops, stopsFromRatio } from '../domain/exposure.ts';
import { stillStops } from '../domain/sequence.ts';
import { simultaneousSeconds, type TimedStill } from './recordedTime.ts';

/*
 * What is known of exposure brackets. A camera that takes one by itself stores 3, 5 or 7 frames (some 2 or 9) within a
 * second or a few; most, not all, record the bias of each frame, and the tag that says "auto bracket" is often
 * overwritten by the exposure program. By hand, over one mark of a dial after the other, 36 frames are seen, 3 to 15 s
 * apart, in any order, by shutter, by ISO, or both; the bias then stays 0 or holds what was dialled. So the exposure
 * pattern decides, with the pauses: no two frames alike, and the slower they came, the more regular they must be, for
 * automatic exposure moves with every scene. Two frames are as well any two stills, so they are never called a bracket.
 */

const fewestInBracket = 3;
/** One pass over fourteen stops in thirds. */
const mostInBracket = 43;
/** Without manual exposure, where the pauses are long: three or four exposures rise by chance. */
const fewestByPatternAlone = 5;

/** Seconds from the end of an exposure to the start of the next one: cameras store frames of a burst in under two. */
const burstPauseSeconds = 2;
/** Setting one mark by hand; 13 s are seen where more was set. */
const handPauseSeconds = 10;
/** Where an exposure goes on with an even ladder: people walk through the picture. 51 s are seen; common practice, no source. */
const ladderPauseSeconds = 60;

/** Spread that a bracket has at least, with a recorded bias and without: three thirds, and more than a meter wanders. */
const leastSpanStops = { biased: 0.9, unbiased: 1.4 };
/** Steps that differ by less are even: marks of time and of ISO are rounded by up to a tenth each. */
const evenStops = 0.35;

/** An aircraft on its spot sways by less, hands do too. */
const swayMetres = 10;
const swayDegrees = 8;

/** Brackets among stills of one camera and size, in the order of time. */
export function bracketsIn(stills: readonly TimedStill[]): readonly (readonly TimedStill[])[] {
  return chainsOf(stills).flatMap(roundsOf).flatMap(bracketsOfRound);
}

/** Stills without a long pause between them. */
function chainsOf(stills: readonly TimedStill[]): readonly (readonly TimedStill[])[] {
  const chains: TimedStill[][] = [];
  for (const [at, still] of stills.entries()) {
    const chain = chains.at(-1);
    if (chain && isNextIn(chain, still, stills[at + 1])) chain.push(still);
    else chains.push([still]);
  }
  return chains;
}

function isNextIn(
  chain: readonly TimedStill[],
  still: TimedStill,
  following: TimedStill | undefined,
): boolean {
  const last = chain.at(-1)!;
  const isSimultaneous =
    last.resolutionSeconds < simultaneousSeconds && still.atSeconds - last.atSeconds <= simultaneousSeconds;
  const longestPauseSeconds = isOnLadder(chain, still, following) ? ladderPauseSeconds : handPauseSeconds;
  return !isSimultaneous && pauseSeconds(last, still) <= longestPauseSeconds;
}

/** Between two exposures, whichever end of an exposure the camera calls its time. */
function pauseSeconds(still: TimedStill, next: TimedStill): number {
  const exposures = [still, next].map(({ recording }) => recording.facts.exposureSeconds?.value ?? 0);
  const slack = still.resolutionSeconds >= 1 ? 1 : 0;
  return next.atSeconds - still.atSeconds - Math.max(...exposures) - slack;
}

/**
 * Whether an exposure lies by an even step from the last one and the following, or beyond an end of those before. What a
 * camera takes at once is whole, and goes on with nothing.
 */
function isOnLadder(
  chain: readonly TimedStill[],
  still: TimedStill,
  following: TimedStill | undefined,
): boolean {
  const before = chain.flatMap((each) => stopsOf(each) ?? []);
  const stops = stopsOf(still);
  const last = before.at(-1);
  if (stops === undefined || last === undefined) return false;
  if (isBurst(chain.slice(-2)) || (following && isBurst([still, following]))) return false;
  const next = following && stopsOf(following);
  if (next !== undefined && isStep(stops - last, next - stops)) return true;
  const rising = before.toSorted((a, b) => a - b);
  return [rising, rising.toReversed()].some(
    ([end, inner]) => inner !== undefined && isStep(inner - end!, end! - stops),
  );
}

function isStep(stops: number, again: number): boolean {
  return Math.abs(stops) >= halfSettingStepStops && isAbout(stops, again);
}

/** A new round begins where a setting comes again: a dialled bias where it moved, else an exposure. */
function roundsOf(chain: readonly TimedStill[]): readonly (readonly TimedStill[])[] {
  const biases = chain.map(biasOf);
  const byBias = new Set(biases).size >= fewestInBracket && !biases.includes(undefined);
  const settingOf = byBias ? biasOf : stopsOf;
  const rounds: TimedStill[][] = [];
  for (const still of chain) {
    const round = rounds.at(-1);
    const isNew = round && !round.some((earlier) => isAlike(settingOf(earlier), settingOf(still)));
    if (isNew) round.push(still);
    else rounds.push([still]);
  }
  return rounds;
}

/** Stills before or after a bracket can stand in one round with it: they lie behind its longest pause. */
function bracketsOfRound(round: readonly TimedStill[]): readonly (readonly TimedStill[])[] {
  if (round.length < fewestInBracket) return [];
  if (isBracket(round)) return [round];
  const pauses = round.slice(1).map((still, at) => pauseSeconds(round[at]!, still));
  const cut = pauses.indexOf(Math.max(...pauses)) + 1;
  return [...bracketsOfRound(round.slice(0, cut)), ...bracketsOfRound(round.slice(cut))];
}

function isBracket(round: readonly TimedStill[]): boolean {
  const stops = round.map(stopsOf).filter((each) => each !== undefined);
  if (stops.length < round.length || round.length > mostInBracket) return false;
  const biases = round.map(biasOf).filter((each) => each !== undefined);
  // A recorded bias says enough: a bracket that was taken in flight is one too.
  if (spread(biases) >= leastSpanStops.biased && spread(stops) >= leastSpanStops.biased)
    return biases.length < round.length || followsBias(stops, biases);
  if (spread(stops) < leastSpanStops.unbiased || !round.every((still) => isFramedLike(round[0]!, still)))
    return false;
  if (isEven(stops) && isBurst(round)) return true;
  const fewest = round.every(isManual) ? fewestInBracket : fewestByPatternAlone;
  return round.length >= fewest && isSameAperture(round) && (isOneWay(stops) || isEven(stops));
}

function isBurst(round: readonly TimedStill[]): boolean {
  if (round.length < 2) return false;
  return round.slice(1).every((still, at) => pauseSeconds(round[at]!, still) <= burstPauseSeconds);
}

/** Where the scene changes with the bias, it is no bracket: more bias then gives no more light. */
function followsBias(stops: readonly number[], biases: readonly number[]): boolean {
  const byBias = stops.map((value, at) => ({ value, bias: biases[at]! })).sort((a, b) => a.bias - b.bias);
  return byBias.slice(1).every(({ value }, at) => value >= byBias[at]!.value - evenStops);
}

function isOneWay(stops: readonly number[]): boolean {
  const steps = stops.slice(1).map((value, at) => value - stops[at]!);
  return (
    steps.every((step) => step >= halfSettingStepStops) ||
    steps.every((step) => step <= -halfSettingStepStops)
  );
}

function isEven(stops: readonly number[]): boolean {
  const sorted = stops.toSorted((a, b) => a - b);
  return spread(sorted.slice(1).map((value, at) => value - sorted[at]!)) <= evenStops;
}

function isManual({ recording: { facts } }: TimedStill): boolean {
  return facts.exposureProgram?.value.startsWith('manual') === true;
}

function isSameAperture(round: readonly TimedStill[]): boolean {
  const apertures = round.flatMap(({ recording }) => recording.facts.fNumber?.value ?? []);
  return (
    stopsFromRatio(Math.max(...apertures, 1) / Math.min(...apertures, Infinity)) < halfSettingStepStops ||
    apertures.length === 0
  );
}

function isFramedLike(
  { recording: { facts: a } }: TimedStill,
  { recording: { facts: b } }: TimedStill,
): boolean {
  const zoomed = a.focalLengthMm && b.focalLengthMm && a.focalLengthMm.value !== b.focalLengthMm.value;
  return !zoomed && Math.abs(turnDegrees(a, b) ?? 0) <= swayDegrees && (wayMetres(a, b) ?? 0) <= swayMetres;
}

function stopsOf({ recording }: TimedStill): number | undefined {
  return stillStops(recording.facts);
}

function biasOf({ recording }: TimedStill): number | undefined {
  return recording.facts.exposureBiasStops?.value;
}

function isAlike(a: number | undefined, b: number | undefined): boolean {
  return a === undefined || b === undefined || Math.abs(a - b) < halfSettingStepStops;
}

function isAbout(a: number, b: number): boolean {
  return Math.abs(a - b) <= evenStops;
}

function spread(values: readonly number[]): number {
  return values.length === 0 ? 0 : Math.max(...values) - Math.min(...values);
}
