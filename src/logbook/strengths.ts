import type { FilterStrength } from '../domain/learned.ts';
import type { LoggedFilter } from '../document/loggedFlight.ts';
import type { LoggedObservation } from './readObservations.ts';
import { filterKey } from './filterKey.ts';
import { labelSpreadStops } from './kitStrengths.ts';
import { lightPairs, type LightPair } from './lightPairs.ts';
import { mixtureQuantile } from './mixture.ts';
import { estimate, posteriorOf, sumsOf, type Observation, type Posterior, type Prior } from './posterior.ts';
import type { StudentT } from './studentT.ts';

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
  return [weaker, stronger].some((one) => filterKey(one) === filterKey(filter));
}
