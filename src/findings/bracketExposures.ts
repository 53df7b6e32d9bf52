import type { Recording } from '../domain/recording.ts';
import { stillStops } from '../domain/sequence.ts';
import type { JudgedSequence, MemberEvidence } from './finding.ts';

/**
 * Steps that differ by less are even: third-stop marks are rounded by up to 0.093 stop each, and a difference of two steps
 * has up to four of them in it.
 */
export const evenStops = 0.35;

/**
 * Exposures of a bracket against the one that was meant as normal (the bias nearest to 0, else the middle one), in
 * the order in which they were taken; + = brighter. Undefined where settings are missing.
 */
export function bracketSteps(members: readonly Recording[]): readonly number[] | undefined {
  const exposures = members.map(({ facts }) => stillStops(facts));
  const recorded = exposures.filter((stops) => stops !== undefined);
  if (recorded.length < members.length) return undefined;
  const normal = normalStops(members, recorded);
  return recorded.map((stops) => stops - normal);
}

function normalStops(members: readonly Recording[], exposures: readonly number[]): number {
  const biases = members.flatMap(({ facts }) => facts.exposureBiasStops?.value ?? []);
  const differ = biases.length === members.length && new Set(biases).size > 1;
  if (!differ) return exposures.toSorted((a, b) => a - b)[Math.floor((exposures.length - 1) / 2)]!;
  const nearest = biases.reduce(
    (best, bias, at) => (Math.abs(bias) < Math.abs(biases[best]!) ? at : best),
    0,
  );
  return exposures[nearest]!;
}

/** The distances between neighbouring exposures of a bracket, from the darkest up; undefined where one is not known. */
export function stepSizes({ sequence }: JudgedSequence): readonly number[] | undefined {
  const steps = sequence.kind === 'bracket' ? bracketSteps(sequence.members) : undefined;
  const sorted = steps?.toSorted((a, b) => a - b);
  return sorted?.slice(1).map((stops, index) => stops - sorted[index]!);
}

export function isEven(a: number, b: number): boolean {
  return Math.abs(a - b) <= evenStops;
}

/** One distance twice as large as all others. */
export function hasGap(sizes: readonly number[]): boolean {
  const smallest = Math.min(...sizes);
  const large = sizes.filter((size) => !isEven(size, smallest));
  return sizes.length >= 2 && large.length === 1 && isEven(large[0]!, 2 * smallest);
}

/** The brightest (1) or the darkest (-1) frame of a bracket. */
export function extremeMember(
  { sequence, evidence }: JudgedSequence,
  sign: 1 | -1,
): MemberEvidence | undefined {
  const steps = sequence.kind === 'bracket' ? bracketSteps(sequence.members) : undefined;
  if (steps === undefined) return undefined;
  const best = steps.reduce((at, stops, index) => (sign * stops > sign * steps[at]! ? index : at), 0);
  return evidence[best];
}
