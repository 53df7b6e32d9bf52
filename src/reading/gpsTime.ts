// What is known of the time that a receiver tells, before any code:
// - GPSDateStamp and GPSTimeStamp are UTC (CIPA DC-008); DateTimeOriginal is the camera's own clock. Where no offset was
//   recorded, their difference is the zone that the clock was set to.
// - A receiver that lost its fix goes on writing the time of the last one, and clocks are set wrong. Both leave a rest
//   that no zone has, unless it is small by chance.
import type { Refusal } from '../domain/recording.ts';
import { workedOutZone } from './recordedTime.ts';
import { sighting, type FactSighting } from './sighting.ts';

/** The moment that a receiver told, as it was written. */
export interface GpsTime {
  readonly atMs: number;
  readonly raw: string;
  readonly source: string;
}

const quarterHourMs = 900_000;

/** A fix may be so old, or the clock so wrong. */
const mostRestMs = 120_000;

/** No clock of this world is farther behind UTC, or ahead. */
const leastZoneMs = -12 * 3_600_000;
const mostZoneMs = 14 * 3_600_000;

/**
 * Gives each time without an offset the one that the receiver's time tells, or refuses that time.
 *
 * @example zonesByGpsTime([{ fact: 'recordedAt', value: '2026-05-14T07:08:09' }], { atMs: Date.UTC(2026, 4, 14, 5, 8) }).sightings[0].value // '2026-05-14T07:08:09+02:00'
 */
export function zonesByGpsTime(
  sightings: readonly FactSighting[],
  gps: GpsTime | undefined,
): { readonly sightings: readonly FactSighting[]; readonly refusals: readonly Refusal[] } {
  if (gps === undefined) return { sightings, refusals: [] };
  const refusals: Refusal[] = [];
  const zoned = sightings.map((each) => {
    const localMs = each.fact === 'recordedAt' ? Date.parse(`${each.value}Z`) : NaN;
    if (each.fact !== 'recordedAt' || Number.isNaN(localMs)) return each;
    const zone = zoneOf(localMs - gps.atMs);
    if ('reason' in zone) {
      const reason = `tells no zone: ${zone.reason} ${each.source}`;
      refusals.push({ what: 'recordedAt', raw: gps.raw, source: gps.source, reason });
      return each;
    }
    const source = `${each.source}${workedOutZone}GPS time`;
    return sighting('recordedAt', `${each.value}${zone.text}`, each.carrier, source);
  });
  return { sightings: zoned, refusals: refusals.slice(0, 1) };
}

function zoneOf(differenceMs: number): { readonly text: string } | { readonly reason: string } {
  const zoneMs = Math.round(differenceMs / quarterHourMs) * quarterHourMs;
  if (zoneMs < leastZoneMs || zoneMs > mostZoneMs) return { reason: 'no zone is so far from' };
  // Of an old fix, or of a clock that was set wrong.
  if (Math.abs(differenceMs - zoneMs) >= mostRestMs) return { reason: 'it lies no whole quarter-hours from' };
  const minutes = Math.abs(zoneMs) / 60_000;
  const [hour, minute] = [Math.floor(minutes / 60), minutes % 60].map((part) =>
    String(part).padStart(2, '0'),
  );
  return { text: `${zoneMs < 0 ? '-' : '+'}${hour}:${minute}` };
}
