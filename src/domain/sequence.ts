import { settingsOf, settingsStops } from './exposure.ts';
import type { Facts, Recording } from './recording.ts';

/** Stills that belong together, in the order in which they were taken. */
export type StillSequence =
  | { readonly kind: 'bracket'; readonly members: readonly Recording[] }
  | {
      readonly kind: 'interval';
      readonly members: readonly Recording[];
      readonly intervalSeconds: number;
      /** Frames that were due before each member and are not there; 0 for the first. */
      readonly missingBefore: readonly number[];
    };

/**
 * Share of the target exposure from which motion in a series flows: 1.5 s of 5 s is 0.6 of the half; common practice, no
 * source.
 */
export const flowingShare = 0.6;

/**
 * Light that a still's settings let in, against that of another one.
 * @returns stops, + = brighter; undefined where no exposure time was recorded
 * @example stillStops({ exposureSeconds: { value: 1 / 2, source: 'x' }, fNumber: { value: 2, source: 'x' } }) // -3
 */
export function stillStops(facts: Facts): number | undefined {
  return facts.exposureSeconds && settingsStops(settingsOf(facts));
}
