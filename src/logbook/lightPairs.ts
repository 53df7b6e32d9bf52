import { daylightEv100 } from '../domain/daylight.ts';
import type { LoggedFilter } from '../document/loggedFlight.ts';
import type { LoggedObservation } from './readObservations.ts';
import { directionOf } from './directionOf.ts';
import { filterKey } from './filterKey.ts';

/*
 * Two recordings of the same light, one through a filter and one without or through another: the difference of the
 * light behind them is the difference of the filters. Minutes apart, the sun has hardly moved, and what it moved is
 * taken from the published curve.
 */

/** Farther apart, clouds have moved on; common practice, no source. */
const mostApartMs = 10 * 60_000;
/** Recordings on either side of a change that are paired up, nearest with nearest. */
const mostPairsPerChange = 3;

/** Two recordings of the same light through two filters. */
export interface LightPair {
  readonly flightId: number;
  readonly weaker: LoggedFilter;
  readonly stronger: LoggedFilter;
  /** By how much the difference of the light exceeds the difference of the labels. */
  readonly missStops: number;
}

interface Usable extends LoggedObservation {
  readonly atMs: number;
  readonly sensorEv100: number;
  readonly fitted: LoggedFilter;
}

/** All pairs that changes of filter within the flights made. */
export function lightPairs(observations: readonly LoggedObservation[]): readonly LightPair[] {
  const flights = new Map<number, Usable[]>();
  for (const one of observations) {
    if (one.atMs === undefined || one.sensorEv100 === undefined || one.fitted === undefined) continue;
    const flight = flights.get(one.flightId) ?? [];
    if (flight.length === 0) flights.set(one.flightId, flight);
    flight.push(one as Usable);
  }
  return [...flights.values()].flatMap(pairsOfFlight);
}

function pairsOfFlight(unordered: readonly Usable[]): readonly LightPair[] {
  const flight = unordered.toSorted((a, b) => a.atMs - b.atMs);
  return flight.flatMap((after, change) => {
    const before = flight[change - 1];
    if (before === undefined || filterKey(before.fitted) === filterKey(after.fitted)) return [];
    const pairs: LightPair[] = [];
    for (let step = 0; step < mostPairsPerChange; step++) {
      const [one, other] = [flight[change - 1 - step], flight[change + step]];
      if (one === undefined || other === undefined) break;
      if (
        filterKey(one.fitted) !== filterKey(before.fitted) ||
        filterKey(other.fitted) !== filterKey(after.fitted)
      )
        break;
      if (sameLight(one, other)) pairs.push(pairOf(one, other));
    }
    return pairs;
  });
}

function sameLight(one: Usable, other: Usable): boolean {
  return (
    other.atMs - one.atMs <= mostApartMs &&
    one.camera === other.camera &&
    one.offsetBasis === other.offsetBasis &&
    directionOf(one) === directionOf(other)
  );
}

function pairOf(one: Usable, other: Usable): LightPair {
  const [weaker, stronger] = one.fitted.labelStops <= other.fitted.labelStops ? [one, other] : [other, one];
  const lightStops = expectedEv100(weaker) - expectedEv100(stronger);
  const difference = weaker.sensorEv100 - stronger.sensorEv100 - lightStops;
  return {
    flightId: one.flightId,
    weaker: weaker.fitted,
    stronger: stronger.fitted,
    missStops: difference - (stronger.fitted.labelStops - weaker.fitted.labelStops),
  };
}

function expectedEv100({ sunElevationDegrees, sky }: Usable): number {
  return sunElevationDegrees === undefined
    ? 0
    : daylightEv100({ elevationDegrees: sunElevationDegrees, sky: sky ?? 'haze' });
}
