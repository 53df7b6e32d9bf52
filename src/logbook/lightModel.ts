import { groupedBy } from '../domain/grouping.ts';
import { meteredEv100, type SceneConditions } from '../domain/meteredLight.ts';
import { median } from '../domain/statistics.ts';

/*
 * What light to expect: published daylight as a camera meters it, moved by the weighted median of what the flights before
 * were off it, and spread as they were. Both lean on the prior where there are few flights. A flight is one voice, however
 * many recordings it holds, so that one wrong note or one wild value neither moves nor widens much.
 */

/** Light on a scene as one recording with a known filter tells it. */
export interface SceneObservation extends SceneConditions {
  readonly flightId: number;
  readonly ev100: number;
}

/** One flight against published daylight, + = brighter: its middle, and each of its recordings. */
interface FlightOffset extends Pick<SceneConditions, 'sky' | 'elevationDegrees' | 'camera' | 'place'> {
  readonly flightId: number;
  readonly offsetStops: number;
  readonly offsetsStops: readonly number[];
}

export interface LightModel {
  readonly flights: readonly FlightOffset[];
  /**
   * Flights that daylight contradicts: they are asked about and not learned from. Their offsets are against what the
   * others showed.
   */
  readonly doubted: readonly FlightOffset[];
  /** Recordings that are learned from. */
  readonly recordings: number;
}

/** Light to come: EV at ISO 100, as Student's t with four degrees of freedom. */
export interface ExpectedLight {
  readonly ev100: number;
  readonly scaleStops: number;
}

/** From a moonless night to the sun on snow (EV 16) and a stop and a half of doubt: beyond, a value is a fault. */
const darkestEv100 = -8;
export const brightestEv100 = 17.5;

/** Before anything was learned; set so that nine of ten photographs lie inside (README). */
const priorScaleStops = 0.93;
/** For how many flights the prior counts, in the middle and in the spread; tuned on invented pilots (README). */
const priorFlights = { middle: 0.7, spread: 4 } as const;

/** Half of all lie within this much of the scale: 0.741 by the formula; more, since a median of few is uneven; tuned as well. */
const halfWithin = 0.8;

/**
 * So far off, a flight was flown with another filter than noted: three stops are a filter and more than a sky does that
 * was noted wrong; three in a hundred invented flights lie so far by themselves.
 */
const contradictionStops = 3.2;

/** The latest; more would change nothing and take time. */
const mostFlights = 1000;

/** Beyond the strongest filter that is usual (ND1024), a wrong clock puts the sun in a wrong place. */
const strongestStops = 10;

/** Whether no filter explains a contradiction, so that the clock is asked about. */
export function isClockInDoubt(contradictedStops: number): boolean {
  return Math.abs(contradictedStops) > strongestStops;
}

/** How much another sky or place tells against the same one, and in how many degrees of sun a third is left; tuned as well. */
const otherSky = 0.6;
const otherPlace = 0.3;
const otherCamera = 0.4;
const likeDegrees = 40;

export function isLightOnEarth(ev100: number): boolean {
  return ev100 >= darkestEv100 && ev100 <= brightestEv100;
}

export function learnLight(observations: readonly SceneObservation[]): LightModel {
  const finite = observations.filter(({ ev100 }) => Number.isFinite(ev100));
  const byFlight = [...groupedBy(finite, ({ flightId }) => flightId).values()];
  const flights = byFlight.slice(-mostFlights).map(offsetOf);
  // A place may be unlike any published light. Where most flights are off alike, that is what is normal here.
  const usual = shrunk(median(flights.map(({ offsetStops }) => offsetStops)) ?? 0, flights.length / 2);
  const isDoubted = ({ offsetStops }: FlightOffset) => Math.abs(offsetStops - usual) > contradictionStops;
  const believed = flights.filter((flight) => !isDoubted(flight));
  return {
    flights: believed,
    doubted: flights
      .filter(isDoubted)
      .map((flight) => ({ ...flight, offsetStops: flight.offsetStops - usual })),
    recordings: believed.reduce((sum, { offsetsStops }) => sum + offsetsStops.length, 0),
  };
}

/** One wild value is left out; a flight of nothing else is as far off as it says. */
function offsetOf(all: readonly SceneObservation[]): FlightOffset {
  const possible = all.filter(({ ev100 }) => isLightOnEarth(ev100));
  const members = thinned(possible.length === 0 ? all : possible);
  const { flightId, sky, elevationDegrees, camera, place } = members[Math.floor(members.length / 2)]!;
  const offsetsStops = members.map((member) => member.ev100 - meteredEv100(member));
  return { flightId, sky, elevationDegrees, camera, place, offsetsStops, offsetStops: median(offsetsStops)! };
}

/** A mapping flight of thousands says no more than some of its recordings, evenly chosen. */
const mostOfFlight = 60;

function thinned<T>(members: readonly T[]): readonly T[] {
  const step = Math.ceil(members.length / mostOfFlight);
  return members.filter((_, at) => at % step === 0);
}

function shrunk(offsetStops: number, flights: number): number {
  return (offsetStops * flights) / (flights + priorFlights.middle);
}

/** The light of a scene to come. */
export function expectedLight({ flights }: LightModel, conditions: SceneConditions): ExpectedLight {
  const expected = meteredEv100(conditions);
  if (flights.length === 0) return { ev100: expected, scaleStops: priorScaleStops };
  const weights = flights.map((flight) => likeness(flight, conditions));
  const count = weights.reduce((sum, weight) => sum + weight, 0);
  const middle = weightedMedian(
    flights.map(({ offsetStops }) => offsetStops),
    weights,
  );
  const centre = shrunk(middle, count);
  const scales = flights.map(
    ({ offsetsStops }) => median(offsetsStops.map((each) => Math.abs(each - centre)))! / halfWithin,
  );
  const learned = weightedMedian(scales, weights);
  const variance =
    (priorFlights.spread * priorScaleStops ** 2 + count * learned ** 2) / (priorFlights.spread + count);
  return { ev100: expected + centre, scaleStops: Math.sqrt(variance) };
}

/** How much a flight tells of another one, [0, 1]. What is not known of either counts as alike, but for the place. */
function likeness(flight: FlightOffset, wanted: SceneConditions): number {
  const apart = Math.abs(flight.elevationDegrees - wanted.elevationDegrees);
  return (
    (isOther(flight.sky, wanted.sky) ? otherSky : 1) *
    (isOther(flight.camera, wanted.camera) ? otherCamera : 1) *
    (wanted.place !== undefined && flight.place === wanted.place ? 1 : otherPlace) *
    Math.exp(-apart / likeDegrees)
  );
}

function isOther(one: string | undefined, other: string | undefined): boolean {
  return one !== undefined && other !== undefined && one !== other;
}

function weightedMedian(values: readonly number[], weights: readonly number[]): number {
  const order = values.map((value, at) => [value, weights[at]!] as const).sort(([a], [b]) => a - b);
  const half = weights.reduce((sum, weight) => sum + weight, 0) / 2;
  let below = 0;
  for (const [value, weight] of order) {
    below += weight;
    if (below >= half) return value;
  }
  return order.at(-1)![0];
}

/** From the 5th to the 95th in a hundred. */
export function rangeOf({ ev100, scaleStops }: ExpectedLight): readonly [low: number, high: number] {
  const reach = 2.1318 * scaleStops;
  return [ev100 - reach, ev100 + reach];
}

/** The chance that the light lies between both, [0, 1]. */
export function probabilityBetween(light: ExpectedLight, low: number, high: number): number {
  const shareBelow = (end: number) => studentBelow((end - light.ev100) / light.scaleStops);
  return high <= low ? 0 : shareBelow(high) - shareBelow(low);
}

/** Student's t with four degrees of freedom in closed form (Abramowitz & Stegun 26.7.4). */
function studentBelow(t: number): number {
  const s = Math.sin(Math.atan(t / 2));
  return 0.5 + 0.75 * (s - s ** 3 / 3);
}
