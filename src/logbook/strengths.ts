import type { LoggedFilter } from '../document/loggedFlight.ts';
import { daylightEv100 } from '../domain/daylight.ts';
import type { KitFilter } from '../domain/filterKit.ts';
import { groupedBy } from '../domain/grouping.ts';
import type { FilterStrength } from '../domain/learned.ts';
import { mixtureQuantile, type StudentT } from './distributions.ts';
import { estimate, posteriorOf, sumsOf, type Observation, type Posterior, type Prior } from './posterior.ts';
import type { LoggedObservation } from './queries.ts';
import { directionOf } from './sunPosition.ts';

/** A pair that misses the labels by more says that a note is wrong rather than a filter. */
const mostMissStops = 2;

/** When an estimate is used in advice. */
const leastPairs = 10;
const leastFlights = 3;
const widestHalfInterval = 0.3;

/** Light of one subject against the next within minutes: 0.4 stop, of which twenty pairs soon know more. */
const noise = { shape: 2, rate: 0.15 };

/** How strong the filters really are, the ones with most pairs first; without pairs a filter is not among them. */
export function learnStrengths(observations: readonly LoggedObservation[]): readonly FilterStrength[] {
  const all = lightPairs(observations);
  const filters = filtersOf(all);
  if (filters.length === 0) return [];
  const posterior = missesOf(filters, all.filter(isBelieved));
  return filters
    .map((filter, index) => {
      const miss = estimate(posterior, { at: [index], by: [1] });
      return strengthOf(
        filter,
        miss,
        all.filter((pair) => concerns(pair, filter)),
      );
    })
    .sort((a, b) => b.pairs - a.pairs);
}

function isBelieved({ missStops }: LightPair): boolean {
  return Math.abs(missStops) <= mostMissStops;
}

/** By how much each filter exceeds its label, from the differences that the pairs show. */
function missesOf(filters: readonly LoggedFilter[], pairs: readonly LightPair[]): Posterior {
  const at = new Map(filters.map((filter, index) => [filterKey(filter), index]));
  const prior: Prior = {
    mean: filters.map(() => 0),
    variance: filters.map(({ labelStops }) => labelSpreadStops(labelStops) ** 2 / noise.rate),
    ...noise,
  };
  const members = pairs.map(({ weaker, stronger, missStops }): Observation => {
    const terms = [
      { index: at.get(filterKey(stronger)), by: 1 },
      { index: at.get(filterKey(weaker)), by: -1 },
    ].filter((term): term is { index: number; by: number } => term.index !== undefined);
    return { at: terms.map(({ index }) => index), by: terms.map(({ by }) => by), y: missStops };
  });
  return posteriorOf(prior, sumsOf(prior, [members]), 0);
}

function strengthOf(filter: LoggedFilter, miss: StudentT, pairs: readonly LightPair[]): FilterStrength {
  const { labelStops } = filter;
  const mixture = [{ weight: 1, part: { ...miss, location: miss.location + labelStops } }];
  const interval = [mixtureQuantile(mixture, 0.025), mixtureQuantile(mixture, 0.975)] as const;
  const own = pairs.filter(isBelieved);
  const flights = new Set(own.map(({ flightId }) => flightId)).size;
  const isNarrow = interval[1] - interval[0] <= 2 * widestHalfInterval;
  const isOffLabel = labelStops < interval[0] || labelStops > interval[1];
  return {
    ...filter,
    stops: Math.max(0, labelStops + miss.location),
    interval,
    spreadStops: miss.scale,
    pairs: own.length,
    flights,
    leftOut: pairs.length - own.length,
    supported: own.length >= leastPairs && flights >= leastFlights && isNarrow && isOffLabel,
  };
}

/** No filter has no strength to be learned. */
function filtersOf(pairs: readonly LightPair[]): readonly LoggedFilter[] {
  const filters = new Map<string, LoggedFilter>();
  for (const filter of pairs.flatMap(({ weaker, stronger }) => [weaker, stronger]))
    if (filter.label !== 'none') filters.set(filterKey(filter), filter);
  return [...filters.values()];
}

function concerns({ weaker, stronger }: LightPair, filter: LoggedFilter): boolean {
  return [weaker, stronger].some((each) => filterKey(each) === filterKey(filter));
}

/**
 * One standard deviation by which a filter misses its label: a quarter of a stop, and of strong ones half of the stop
 * in ten that is reported; common practice, no source. No filter misses nothing.
 * @example strengthSpreadStops({ label: 'ND16', stops: 4 }, []) // 0.320
 */
function labelSpreadStops(stops: number): number {
  return stops === 0 ? 0 : Math.hypot(0.25, 0.05 * stops);
}

/** The kit with the strengths that are well supported in place of the labels'; the rest stays as it is. */
export function measuredKit(
  kit: readonly KitFilter[],
  strengths: readonly FilterStrength[],
): readonly KitFilter[] {
  return kit.map((filter) => {
    const strength = learnedStrength(filter, strengths);
    if (!strength?.supported || filter.rangeStops !== undefined || filter.graduated) return filter;
    const { labelStops, interval, pairs, stops, spreadStops } = strength;
    return { ...filter, stops, spreadStops, measured: { labelStops, interval, pairs } };
  });
}

export function strengthSpreadStops(filter: KitFilter, strengths: readonly FilterStrength[]): number {
  const learned = learnedStrength(filter, strengths)?.spreadStops;
  return learned ?? Math.hypot(labelSpreadStops(filter.stops), filter.spreadStops ?? 0);
}

function learnedStrength(
  filter: KitFilter,
  strengths: readonly FilterStrength[],
): FilterStrength | undefined {
  const labelStops = filter.measured?.labelStops ?? filter.stops;
  return strengths.find(
    (strength) =>
      strength.label.toLowerCase() === filter.label.toLowerCase() &&
      Math.abs(strength.labelStops - labelStops) < 0.05,
  );
}

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
interface LightPair {
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

function lightPairs(observations: readonly LoggedObservation[]): readonly LightPair[] {
  const flights = groupedBy(observations.filter(isUsable), ({ flightId }) => flightId);
  return [...flights.values()].flatMap(pairsOfFlight);
}

function isUsable(shot: LoggedObservation): shot is Usable {
  return shot.atMs !== undefined && shot.sensorEv100 !== undefined && shot.fitted !== undefined;
}

function pairsOfFlight(unordered: readonly Usable[]): readonly LightPair[] {
  const flight = unordered.toSorted((a, b) => a.atMs - b.atMs);
  return flight.flatMap((after, change) => {
    const before = flight[change - 1];
    if (before === undefined || filterKey(before.fitted) === filterKey(after.fitted)) return [];
    const pairs: LightPair[] = [];
    for (let step = 0; step < mostPairsPerChange; step++) {
      const [first, second] = [flight[change - 1 - step], flight[change + step]];
      if (first === undefined || second === undefined) break;
      if (
        filterKey(first.fitted) !== filterKey(before.fitted) ||
        filterKey(second.fitted) !== filterKey(after.fitted)
      )
        break;
      if (sameLight(first, second)) pairs.push(pairOf(first, second));
    }
    return pairs;
  });
}

function sameLight(first: Usable, second: Usable): boolean {
  return (
    second.atMs - first.atMs <= mostApartMs &&
    first.camera === second.camera &&
    first.offsetBasis === second.offsetBasis &&
    directionOf(first) === directionOf(second)
  );
}

function pairOf(first: Usable, second: Usable): LightPair {
  const [weaker, stronger] =
    first.fitted.labelStops <= second.fitted.labelStops ? [first, second] : [second, first];
  const lightStops = expectedEv100(weaker) - expectedEv100(stronger);
  const difference = weaker.sensorEv100 - stronger.sensorEv100 - lightStops;
  return {
    flightId: first.flightId,
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

/**
 * Names a filter: a label that was given another strength later is another filter.
 * @example filterKey({ label: 'ND16', labelStops: 4 }) // 'nd16 4.000'
 */
export function filterKey({ label, labelStops }: LoggedFilter): string {
  return `${label.toLowerCase()} ${labelStops.toFixed(3)}`;
}
