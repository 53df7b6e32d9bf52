import type { FilterGroup, Share } from '../domain/learned.ts';
import type { LoggedObservation } from './readObservations.ts';
import { median } from '../domain/statistics.ts';

/** Counts of what came out right, taken in one pass: hundreds of thousands of recordings are looked at once. */
export interface Tally {
  recordings: number;
  clips: number;
  shutterKnown: number;
  shutterRight: number;
  exposureKnown: number;
  exposureRight: number;
  readonly missesStops: number[];
}

export function newTally(): Tally {
  return {
    recordings: 0,
    clips: 0,
    shutterKnown: 0,
    shutterRight: 0,
    exposureKnown: 0,
    exposureRight: 0,
    missesStops: [],
  };
}

export function count(tally: Tally, one: LoggedObservation): void {
  const { kind, shutterVerdict, inWindow, additionalStops } = one;
  tally.recordings += 1;
  if (kind === 'clip') tally.clips += 1;
  if (shutterVerdict !== undefined && shutterVerdict !== 'unknown') {
    tally.shutterKnown += 1;
    if (shutterVerdict === 'on') tally.shutterRight += 1;
  }
  if (inWindow !== undefined) {
    tally.exposureKnown += 1;
    if (inWindow) tally.exposureRight += 1;
  }
  if (additionalStops !== undefined) tally.missesStops.push(additionalStops);
}

/** The shares of a tally, and its median miss where anything is known of that. */
export function outcome(tally: Tally): Pick<FilterGroup, 'shutter' | 'exposure' | 'missStops'> {
  const missStops = middle(tally.missesStops);
  return {
    shutter: share(tally.shutterKnown, tally.shutterRight),
    exposure: share(tally.exposureKnown, tally.exposureRight),
    missStops,
  };
}

function share(of: number, right: number): Share {
  return { of, right };
}

/** Typed arrays sort several times faster than lists with a comparison. */
function middle(values: readonly number[]): number | undefined {
  const sorted = Float64Array.from(values).sort();
  const { length } = sorted;
  return median([...sorted.subarray(Math.floor((length - 1) / 2), Math.floor(length / 2) + 1)]);
}
