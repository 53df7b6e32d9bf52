// What is known of the clocks in a clip, before any code:
// - A text on the clip holds the local time of the place, without a zone.
// - A container's clock is meant to be UTC; many cameras write local time there. It is that of the start of the clip or
//   of its end.
// - So the two give the zone only where what lies between them is one (every zone in use is a whole number of
//   quarter-hours from UTC) and the longitude bears it out. A difference of 0 far from longitude 0 proves nothing.
import { offsetText } from '../domain/localTime.ts';
import type { FactValues, Refusal } from '../domain/recording.ts';
import { workedOutZone } from './recordedTime.ts';
import type { FactSighting } from './sighting.ts';

type TimeSighting = Extract<FactSighting, { readonly fact: 'recordedAt' }>;

const quarterHourMinutes = 15;
/** Clocks of aircraft and camera are set by hand or by satellites. */
const mostLeftOverSeconds = 120;
/** The clocks farthest from the sun that people live by in summer (from memory); four minutes for each degree. */
const mostFromSunMinutes = 165;
const [mostBehindMinutes, mostAheadMinutes] = [-12 * 60, 14 * 60];

/** Adds the zone to the local time of a text where the container's clock gives it. */
export function withClipZone(sightings: readonly FactSighting[]): {
  readonly sightings: readonly FactSighting[];
  readonly refusals: readonly Refusal[];
} {
  const times = sightings.filter((one): one is TimeSighting => one.fact === 'recordedAt');
  const local = times.find(({ carrier, value }) => carrier === 'timed-track' && !hasOffset.test(value));
  const container = times.find(({ carrier, value }) => carrier === 'container-tag' && value.endsWith('Z'));
  const longitude = valueOf(sightings, 'longitude');
  if (local === undefined || container === undefined || longitude === undefined)
    return { sightings, refusals: [] };
  const differences = [0, valueOf(sightings, 'durationSeconds') ?? 0].map(
    (sinceStart) => secondsOf(local.value) - (secondsOf(container.value) - sinceStart),
  );
  const offset = differences
    .map((difference) => zoneMinutes(difference, longitude))
    .find((zone) => zone !== undefined);
  if (offset === undefined) return { sightings, refusals: [noZone(container, differences[0]!)] };
  const value = `${local.value}${offsetText(offset)}`;
  const zoned = { ...local, value, source: `${local.source}${workedOutZone}${container.source}` };
  return { sightings: sightings.map((one) => (one === local ? zoned : one)), refusals: [] };
}

const hasOffset = /(?:Z|[+-]\d\d:\d\d)$/;

function secondsOf(time: string): number {
  return Date.parse(time.endsWith('Z') ? time : `${time}Z`) / 1000;
}

function valueOf<N extends 'longitude' | 'durationSeconds'>(
  sightings: readonly FactSighting[],
  fact: N,
): FactValues[N] | undefined {
  return sightings.find((one) => one.fact === fact)?.value as FactValues[N] | undefined;
}

/** Minutes that a local time is ahead of UTC, where the difference is a zone and the longitude bears it out. */
function zoneMinutes(differenceSeconds: number, longitude: number): number | undefined {
  const minutes = Math.round(differenceSeconds / 60 / quarterHourMinutes) * quarterHourMinutes;
  if (Math.abs(differenceSeconds - minutes * 60) > mostLeftOverSeconds) return undefined;
  if (!(minutes >= mostBehindMinutes && minutes <= mostAheadMinutes)) return undefined;
  return Math.abs(minutes - longitude * 4) <= mostFromSunMinutes ? minutes : undefined;
}

function noZone({ value, source }: TimeSighting, differenceSeconds: number): Refusal {
  const reason =
    Math.abs(differenceSeconds) <= mostLeftOverSeconds
      ? 'is the local time of the text, though it should be UTC, so it gives no zone'
      : 'gives no zone: what lies between it and the local time of the text is none at this longitude';
  return { what: 'recordedAt', raw: value, source, reason };
}
