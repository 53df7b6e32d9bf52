// What is known of the clocks in a recording, before any code:
// - GPSDateStamp and GPSTimeStamp of a still are UTC (CIPA DC-008); DateTimeOriginal is the camera's own clock. Where no
//   offset was recorded, their difference is the zone that the clock was set to.
// - A receiver that lost its fix goes on writing the time of the last one, and clocks are set wrong. Both leave a rest
//   that no zone has, unless it is small by chance.
// - A text on a clip holds the local time of the place, without a zone.
// - A container's clock is meant to be UTC; many cameras write local time there. It is that of the start of the clip or
//   of its end.
// - So the two give the zone only where what lies between them is one (every zone in use is a whole number of
//   quarter-hours from UTC) and the longitude bears it out. A difference of 0 far from longitude 0 proves nothing.
import { offsetText, type ZoneOffsetAt } from '../domain/localTime.ts';
import type { Refusal } from '../domain/recording.ts';
import { hasOffset, momentMs } from './recordedTime.ts';
import { sightedValue, type FactSighting, type Reading } from './sighting.ts';

/** The zone that this computer is set to, which usually is that of the flight. */
const computerZoneOffsetAt: ZoneOffsetAt = (atMs) => -new Date(atMs).getTimezoneOffset();

/** The zone of clocks that recorded none: as it was named, else as the notes say, else the usual one, else this computer's. */
export function zoneOf(
  named: { readonly zone?: ZoneOffsetAt; readonly usualZone?: ZoneOffsetAt },
  notes: { readonly zone?: ZoneOffsetAt } | undefined,
): ZoneOffsetAt {
  return named.zone ?? notes?.zone ?? named.usualZone ?? computerZoneOffsetAt;
}

/**
 * The zone of a name of the IANA time zone database, summer time included; undefined where there is none of that name.
 * @example namedZone('Europe/Berlin')(Date.UTC(2026, 5, 1)) // 120
 */
export function namedZone(name: string): ZoneOffsetAt | undefined {
  const format = zoneFormat(name);
  if (format === undefined) return undefined;
  const offsetAt = (atMs: number) => {
    const part = format.formatToParts(atMs).find(({ type }) => type === 'timeZoneName')?.value ?? 'GMT';
    const [, sign, hours = '0', minutes = '0'] = /^GMT([+-])(\d\d):(\d\d)/.exec(part) ?? [];
    return (sign === '-' ? -1 : 1) * (60 * Number(hours) + Number(minutes));
  };
  return Object.assign(offsetAt, { zoneName: name });
}

/** What a named zone must be. */
export const zoneWish = 'must be a time zone by its name, such as Europe/Berlin or America/Denver';

function zoneFormat(name: string): Intl.DateTimeFormat | undefined {
  try {
    return new Intl.DateTimeFormat('en-US', { timeZone: name, timeZoneName: 'longOffset' });
  } catch {
    return undefined;
  }
}

/** The moment that a receiver told, as it was written. */
export interface GpsTime {
  readonly atMs: number;
  readonly raw: string;
  readonly source: string;
}

const quarterHourMs = 900_000;

/** A fix may be so old, or a clock that was set by hand or by satellites so wrong. */
const mostLeftOverMs = 120_000;

/** No clock of this world is farther behind UTC, or ahead. */
const [mostBehindMs, mostAheadMs] = [-12 * 3_600_000, 14 * 3_600_000];

/** The whole number of quarter-hours that a difference from UTC comes nearest to, and what is left over. */
function nearestZone(differenceMs: number) {
  const zoneMs = Math.round(differenceMs / quarterHourMs) * quarterHourMs;
  return {
    zoneMinutes: zoneMs / 60_000,
    leftOverMs: Math.abs(differenceMs - zoneMs),
    isInUse: zoneMs >= mostBehindMs && zoneMs <= mostAheadMs,
  };
}

/**
 * Gives each time without an offset the one that the receiver's time tells, or refuses that time.
 * @example zonesByGpsTime([{ fact: 'recordedAt', value: '2026-05-14T07:08:09' }], { atMs: Date.UTC(2026, 4, 14, 5, 8) }).sightings[0].value // '2026-05-14T07:08:09+02:00'
 */
export function zonesByGpsTime(sightings: readonly FactSighting[], gps: GpsTime | undefined): Reading {
  if (gps === undefined) return { sightings, refusals: [] };
  const refusals: Refusal[] = [];
  const zoned = sightings.map((each) => {
    const localMs = each.fact === 'recordedAt' ? Date.parse(`${each.value}Z`) : NaN;
    if (each.fact !== 'recordedAt' || Number.isNaN(localMs)) return each;
    const { zoneMinutes, leftOverMs, isInUse } = nearestZone(localMs - gps.atMs);
    if (!isInUse || leftOverMs >= mostLeftOverMs) {
      const apart = isInUse ? 'it lies no whole quarter-hours from' : 'no zone is so far from';
      const reason = `tells no zone: ${apart} ${each.source}`;
      refusals.push({ what: 'recordedAt', raw: gps.raw, source: gps.source, reason });
      return each;
    }
    return withZone(each, zoneMinutes, 'GPS time');
  });
  return { sightings: zoned, refusals: refusals.slice(0, 1) };
}

type TimeSighting = Extract<FactSighting, { readonly fact: 'recordedAt' }>;

/** The clocks farthest from the sun that people live by in summer (from memory); four minutes for each degree. */
const mostFromSunMinutes = 165;

/** Adds the zone to the local time of a text where the container's clock gives it. */
export function zoneByContainer(sightings: readonly FactSighting[]): Reading {
  const times = sightings.filter((sighted): sighted is TimeSighting => sighted.fact === 'recordedAt');
  const local = times.find(({ carrier, value }) => carrier === 'timed-track' && !hasOffset(value));
  const container = times.find(({ carrier, value }) => carrier === 'container-tag' && value.endsWith('Z'));
  const longitude = sightedValue(sightings, 'longitude');
  if (local === undefined || container === undefined || longitude === undefined)
    return { sightings, refusals: [] };
  const fromStartMs = momentMs(local.value) - momentMs(container.value);
  const fromEndMs = fromStartMs + (sightedValue(sightings, 'durationSeconds') ?? 0) * 1000;
  const zoneMinutes = zoneAt(longitude, fromStartMs) ?? zoneAt(longitude, fromEndMs);
  if (zoneMinutes === undefined) return { sightings, refusals: [noZone(container, fromStartMs)] };
  const zoned = withZone(local, zoneMinutes, container.source);
  return { sightings: sightings.map((sighted) => (sighted === local ? zoned : sighted)), refusals: [] };
}

function withZone(time: TimeSighting, zoneMinutes: number, by: string): TimeSighting {
  const value = `${time.value}${offsetText(zoneMinutes)}`;
  return { ...time, value, source: `${time.source}, zone by ${by}`, zoneWorkedOut: true };
}

/** Minutes that a local time is ahead of UTC, where the difference is a zone and the longitude bears it out. */
function zoneAt(longitude: number, differenceMs: number): number | undefined {
  const { zoneMinutes, leftOverMs, isInUse } = nearestZone(differenceMs);
  if (!isInUse || leftOverMs > mostLeftOverMs) return undefined;
  return Math.abs(zoneMinutes - longitude * 4) <= mostFromSunMinutes ? zoneMinutes : undefined;
}

function noZone({ value, source }: TimeSighting, differenceMs: number): Refusal {
  const reason =
    Math.abs(differenceMs) <= mostLeftOverMs
      ? 'is the local time of the text, though it should be UTC, so it gives no zone'
      : 'gives no zone: what lies between it and the local time of the text is none at this longitude';
  return { what: 'recordedAt', raw: value, source, reason };
}
