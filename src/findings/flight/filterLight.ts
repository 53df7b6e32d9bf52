import type { Finding } from '../../domain/finding.ts';
import type { FittedFilter, KitFilter } from '../../domain/kit.ts';
import type { Recording } from '../../domain/recording.ts';
import { median, robustSpread } from '../../domain/statistics.ts';

/*
 * What the light says of the filters. The scene behind every recording of one flight is about equally bright, so a
 * recording whose scene seems brighter by just the filter that is said to have been on was flown without it. Clouds
 * change daylight by up to 2.5 stops (clear against overcast at a sun of 60 degrees) and a turn of the camera by one,
 * so only large differences beside steady neighbours count.
 */

export interface FlightLight {
  readonly recording: Recording;
  readonly fitted?: FittedFilter;
  /** Light on the scene as EV at ISO 100, the fitted filter included; absent where it is not known. */
  readonly sceneEv100?: number;
  /** Light that stays the same all through. */
  readonly steady: boolean;
  /** Seconds since 1970. */
  readonly atSeconds?: number;
}

type Known = FlightLight & {
  readonly fitted: FittedFilter;
  readonly sceneEv100: number;
  readonly atSeconds: number;
};

/** Seconds. Daylight in the clear changes by a stop in half an hour at most, save near sunset. */
const neighbourSeconds = 900;
const fewestNeighbours = 3;

/** Neighbours must agree to this, as a robust standard deviation. */
const steadyNeighboursStops = 0.5;

/** Less may be a cloud or another direction. */
const leastStops = 1.5;

/** From here on no weather explains it. */
const beyondWeatherStops = 2.5;

/** How near a difference must come to a filter's strength. */
const matchStops = 0.5;

/** filter-forgotten and filter-contradicted, by path. */
export function filterLight(
  flight: readonly FlightLight[],
  kit: readonly KitFilter[],
): ReadonlyMap<string, Finding> {
  const known = flight.filter(isKnown);
  return new Map(
    known.flatMap((one) => {
      const finding = contradiction(one, known, kit);
      return finding === undefined ? [] : [[one.recording.path, finding] as const];
    }),
  );
}

function isKnown(one: FlightLight): one is Known {
  return (
    one.fitted !== undefined && one.sceneEv100 !== undefined && one.atSeconds !== undefined && one.steady
  );
}

function contradiction(one: Known, flight: readonly Known[], kit: readonly KitFilter[]): Finding | undefined {
  const around = flight
    .filter((other) => other !== one && Math.abs(other.atSeconds - one.atSeconds) <= neighbourSeconds)
    .map(({ sceneEv100 }) => sceneEv100);
  const usual = median(around);
  if (around.length < fewestNeighbours || usual === undefined) return undefined;
  if ((robustSpread(around) ?? Infinity) > steadyNeighboursStops) return undefined;
  const brighterStops = one.sceneEv100 - usual;
  if (Math.abs(brighterStops) < leastStops) return undefined;
  return judged(one.fitted, brighterStops, kit);
}

function judged(fitted: FittedFilter, brighterStops: number, kit: readonly KitFilter[]): Finding | undefined {
  const { label, stops: filterStops } = fitted;
  const weight = Math.abs(brighterStops) > beyondWeatherStops ? 'medium' : 'low';
  if (filterStops > 0 && Math.abs(brighterStops - filterStops) <= matchStops)
    return { kind: 'filter-forgotten', weight, label, filterStops, brighterStops };
  const lightStops = filterStops - brighterStops;
  const strengths = kit.filter(({ graduated }) => graduated !== true);
  const known = strengths.some(({ stops, rangeStops }) =>
    rangeStops === undefined
      ? Math.abs(stops - lightStops) <= matchStops
      : lightStops >= rangeStops[0] - matchStops && lightStops <= rangeStops[1] + matchStops,
  );
  return known ? { kind: 'filter-contradicted', weight, label, filterStops, lightStops } : undefined;
}
