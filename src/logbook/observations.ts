import type { LoggedFilter, LoggedRecording } from '../document/loggedFlight.ts';
import { daylightEv100, lightDirection, type LightDirection } from '../domain/daylight.ts';
import type { FilterStrength } from '../domain/learned.ts';

import type { LoggedObservation } from './queries.ts';
import type { SceneObservation } from './sceneModel.ts';

/**
 * The light of each scene whose filter is known: what came through it, and what it took by all that is known of its
 * strength. A filter without pairs has the strength of its label.
 */
export function sceneObservations(
  observations: readonly LoggedObservation[],
  strengths: readonly FilterStrength[],
): readonly SceneObservation[] {
  const measured = new Map(strengths.map((one) => [filterKey(one), one.stops]));
  return observations.flatMap((one): readonly SceneObservation[] => {
    const { fitted, sensorEv100, sunElevationDegrees, flightId, sky, camera, place } = one;
    if (fitted === undefined || sensorEv100 === undefined || sunElevationDegrees === undefined) return [];
    const stops = measured.get(filterKey(fitted)) ?? fitted.labelStops;
    return [
      {
        flightId,
        ev100: sensorEv100 + stops,
        elevationDegrees: sunElevationDegrees,
        sky,
        direction: directionOf(one),
        camera,
        place,
      },
    ];
  });
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

/** Below the horizon the sun gives no direction. */
export function directionOf(
  recording: Pick<LoggedRecording, 'headingDegrees' | 'sunAzimuthDegrees' | 'sunElevationDegrees'>,
): LightDirection | undefined {
  const { headingDegrees, sunAzimuthDegrees, sunElevationDegrees } = recording;
  if (headingDegrees === undefined || sunAzimuthDegrees === undefined) return undefined;
  if (sunElevationDegrees === undefined || sunElevationDegrees < 0) return undefined;
  return lightDirection({ headingDegrees, sunAzimuthDegrees });
}

/**
 * Names a filter: a label that was given another strength later is another filter.
 *
 * @example filterKey({ label: 'ND16', labelStops: 4 }) // 'nd16 4.000'
 */
export function filterKey({ label, labelStops }: LoggedFilter): string {
  return `${label.toLowerCase()} ${labelStops.toFixed(3)}`;
}
