import { daylightEv100 } from '../domain/daylight.ts';
import type { FilterStrength } from '../domain/learned.ts';
import type { LoggedFilter, LoggedObservation } from '../domain/logbook.ts';
import { directionOf } from './directionOf.ts';
import { labelSpreadStops } from './kitStrengths.ts';
import { mixtureQuantile } from './mixture.ts';
import { estimate, posteriorOf, sumsOf, type Observation, type Prior } from './posterior.ts';

/*
 * Two recordings of the same light, one through a filter and one without or through another: the difference of the
 * light behind them is the difference of the filters. Minutes apart, the sun has hardly moved, and what it moved is
 * taken from the published curve.
 */

/** Farther apart, clouds have moved on; common practice, no source. */
const mostApartMs = 10 * 60_000;
/** Recordings on either side of a change that are paired up, nearest with nearest. */
const mostPairsPerChange = 3;
/** A pair that misses the labels by more says that a note is wrong rather than a filter. */
const mostMissStops = 2;

/** When an estimate is used in advice. */
const leastPairs = 10;
const leastFlights = 3;
const widestHalfInterval = 0.3;

/** Light of one subject against the next within minutes: 0.4 stop, of which twenty pairs soon know more. */
const noise = { shape: 2, rate: 0.15 };

interface Pair {
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

/** How strong the filters really are, the ones with most pairs first; without pairs a filter is not among them. */
export function learnStrengths(observations: readonly LoggedObservation[]): readonly FilterStrength[] {
  const all = pairsOf(observations);
  const pairs = all.filter(({ missStops }) => Math.abs(missStops) <= mostMissStops);
  const filters = filtersOf(all);
  if (filters.length === 0) return [];
  const at = new Map(filters.map((filter, index) => [keyOf(filter), index]));
  const prior: Prior = {
    mean: filters.map(() => 0),
    variance: filters.map(({ labelStops }) => labelSpreadStops(labelStops) ** 2 / noise.rate),
    ...noise,
  };
  const members = pairs.map(({ weaker, stronger, missStops }): Observation => {
    const terms = [
      { index: at.get(keyOf(stronger)), by: 1 },
      { index: at.get(keyOf(weaker)), by: -1 },
    ].filter((term): term is { index: number; by: number } => term.index !== undefined);
    return { at: terms.map(({ index }) => index), by: terms.map(({ by }) => by), y: missStops };
  });
  const posterior = posteriorOf(prior, sumsOf(prior, [members]), 0);
  return filters
    .map((filter, index): FilterStrength => {
      const own = pairs.filter((pair) => concerns(pair, filter));
      const part = estimate(posterior, { at: [index], by: [1] });
      const mixture = [{ weight: 1, part: { ...part, location: part.location + filter.labelStops } }];
      const interval = [mixtureQuantile(mixture, 0.025), mixtureQuantile(mixture, 0.975)] as const;
      const flights = new Set(own.map(({ flightId }) => flightId)).size;
      const outside = filter.labelStops < interval[0] || filter.labelStops > interval[1];
      return {
        ...filter,
        stops: Math.max(0, filter.labelStops + part.location),
        interval,
        spreadStops: part.scale,
        pairs: own.length,
        flights,
        leftOut: all.filter((pair) => concerns(pair, filter)).length - own.length,
        supported:
          own.length >= leastPairs &&
          flights >= leastFlights &&
          interval[1] - interval[0] <= 2 * widestHalfInterval &&
          outside,
      };
    })
    .sort((a, b) => b.pairs - a.pairs);
}

function pairsOf(observations: readonly LoggedObservation[]): readonly Pair[] {
  const flights = new Map<number, Usable[]>();
  for (const one of observations) {
    if (one.atMs === undefined || one.sensorEv100 === undefined || one.fitted === undefined) continue;
    const flight = flights.get(one.flightId) ?? [];
    if (flight.length === 0) flights.set(one.flightId, flight);
    flight.push(one as Usable);
  }
  return [...flights.values()].flatMap(pairsOfFlight);
}

function pairsOfFlight(unordered: readonly Usable[]): readonly Pair[] {
  const flight = unordered.toSorted((a, b) => a.atMs - b.atMs);
  return flight.flatMap((after, change) => {
    const before = flight[change - 1];
    if (before === undefined || keyOf(before.fitted) === keyOf(after.fitted)) return [];
    const pairs: Pair[] = [];
    for (let step = 0; step < mostPairsPerChange; step++) {
      const [one, other] = [flight[change - 1 - step], flight[change + step]];
      if (one === undefined || other === undefined) break;
      if (keyOf(one.fitted) !== keyOf(before.fitted) || keyOf(other.fitted) !== keyOf(after.fitted)) break;
      if (sameLight(one, other)) pairs.push(pairOf(one, other));
    }
    return pairs;
  });
}

function sameLight(one: Usable, other: Usable): boolean {
  const [first, second] = [directionOf(one), directionOf(other)];
  return (
    other.atMs - one.atMs <= mostApartMs &&
    one.camera === other.camera &&
    one.offsetBasis === other.offsetBasis &&
    first === second
  );
}

function pairOf(one: Usable, other: Usable): Pair {
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

/** No filter has no strength to be learned. */
function filtersOf(pairs: readonly Pair[]): readonly LoggedFilter[] {
  const filters = new Map<string, LoggedFilter>();
  for (const filter of pairs.flatMap(({ weaker, stronger }) => [weaker, stronger]))
    if (filter.label !== 'none') filters.set(keyOf(filter), filter);
  return [...filters.values()];
}

function concerns({ weaker, stronger }: Pair, filter: LoggedFilter): boolean {
  return [weaker, stronger].some((one) => keyOf(one) === keyOf(filter));
}

/** A label that was given another strength later is another filter. */
function keyOf({ label, labelStops }: LoggedFilter): string {
  return `${label.toLowerCase()} ${labelStops.toFixed(3)}`;
}
