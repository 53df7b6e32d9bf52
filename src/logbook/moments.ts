import type { TimeBasis } from '../domain/logbook.ts';

export interface Moment {
  /** Milliseconds since 1970 in UTC. */
  readonly atMs: number;
  /** Of the local time against UTC, + = east. */
  readonly offsetMinutes: number;
  readonly basis: TimeBasis;
}

/** Offset of this computer's zone against UTC at a moment, + = east. Given from outside: the clock belongs to the edge. */
export type ZoneOffsetAt = (atMs: number) => number;

/** Zones follow the sun to within this, summer time included; farther off, the computer is elsewhere. */
const mostZoneMinutes = 150;

/**
 * The moment of a recorded time. One without an offset is local time: by this computer's zone, which usually is that
 * of the flight; where the longitude says that it cannot be, by the zone of that longitude (a twenty-fourth of the
 * circle each). What was assumed is kept beside it.
 *
 * @example momentOf({ recordedAt: '2026-05-14T12:00:00', longitude: 150, zoneOffsetAt: () => 0 }) // { atMs: 1778724000000, offsetMinutes: 600, basis: 'longitude-zone' }
 */
export function momentOf(recorded: {
  readonly recordedAt: string;
  readonly longitude?: number | undefined;
  readonly zoneOffsetAt: ZoneOffsetAt;
}): Moment | undefined {
  const { recordedAt, longitude, zoneOffsetAt } = recorded;
  const match =
    /^(\d{4}-\d\d-\d\d)[T ](\d\d:\d\d(?::\d\d(?:\.\d+)?)?)(Z|[+-]\d\d:\d\d)?$/.exec(recordedAt) ?? undefined;
  if (match === undefined) return undefined;
  const [, date = '', time = '', offset] = match;
  const asUtcMs = Date.parse(`${date}T${time}Z`);
  if (Number.isNaN(asUtcMs)) return undefined;
  if (offset !== undefined) {
    const offsetMinutes = offset === 'Z' ? 0 : minutesOf(offset);
    return { atMs: asUtcMs - offsetMinutes * 60_000, offsetMinutes, basis: 'recorded' };
  }
  const computerMinutes = zoneOffsetAt(asUtcMs);
  const sunMinutes = longitude === undefined ? undefined : longitude * 4;
  const elsewhere =
    sunMinutes !== undefined && Math.abs(aroundTheDay(computerMinutes - sunMinutes)) > mostZoneMinutes;
  const offsetMinutes = elsewhere ? Math.round(sunMinutes / 60) * 60 : computerMinutes;
  return {
    atMs: asUtcMs - offsetMinutes * 60_000,
    offsetMinutes,
    basis: elsewhere ? 'longitude-zone' : 'computer-zone',
  };
}

function minutesOf(offset: string): number {
  const minutes = Number(offset.slice(1, 3)) * 60 + Number(offset.slice(4, 6));
  return offset.startsWith('-') ? -minutes : minutes;
}

function aroundTheDay(minutes: number): number {
  return minutes - Math.round(minutes / 1440) * 1440;
}
