/**
 * How a local time was turned into UTC: by its recorded offset, by the zone that somebody named, by this computer's zone, or
 * by the longitude, which knows no summer time.
 */
type TimeBasis = 'recorded' | 'named-zone' | 'computer-zone' | 'longitude-zone';

export interface Moment {
  /** Milliseconds since 1970 in UTC. */
  readonly atMs: number;
  /** Of the local time against UTC, + = east. */
  readonly offsetMinutes: number;
  readonly basis: TimeBasis;
}

/**
 * Offset of a zone against UTC at a moment, + = east: of the zone that somebody named, else of this computer's. Given from
 * outside: the clock belongs to the edge.
 */
export interface ZoneOffsetAt {
  (atMs: number): number;
  /** Set where the zone was named; then the longitude has no say. */
  readonly zoneName?: string;
}

/** A recorded time with what tells the zone of its clock. */
export interface RecordedMoment {
  /** ISO 8601, with an offset where one was recorded. */
  readonly recordedAt: string;
  /** Degrees, + = east. */
  readonly longitude?: number;
  readonly zoneOffsetAt: ZoneOffsetAt;
}

/** Zones follow the sun to within this, summer time included; farther off, the computer is elsewhere. */
const mostZoneMinutes = 150;

/** The clocks that are farthest ahead of UTC; none is farther behind. */
const mostOffsetMinutes = 14 * 60;

/**
 * The moment of a recorded time. One without an offset is local time: by the zone that was named, else by this computer's,
 * which usually is that of the flight; where the longitude says that it cannot be, by the zone of that longitude (a twenty-fourth of the
 * circle each). What was assumed is kept beside it.
 * @example momentOf({ recordedAt: '2026-05-14T12:00:00', longitude: 150, zoneOffsetAt: () => 0 }) // { atMs: 1778724000000, offsetMinutes: 600, basis: 'longitude-zone' }
 */
export function momentOf(recorded: RecordedMoment): Moment | undefined {
  const { recordedAt } = recorded;
  const match = /^(\d{4}-\d\d-\d\d)[T ](\d\d:\d\d(?::\d\d(?:\.\d+)?)?)(Z|[+-]\d\d:\d\d)?$/.exec(recordedAt);
  if (match === null) return undefined;
  const [, date = '', time = '', offset] = match;
  const asUtcMs = Date.parse(`${date}T${time}Z`);
  if (Number.isNaN(asUtcMs) || !isDay(date)) return undefined;
  if (offset !== undefined) {
    const offsetMinutes = offset === 'Z' ? 0 : minutesOf(offset);
    if (Math.abs(offsetMinutes) > mostOffsetMinutes) return undefined;
    return { atMs: asUtcMs - offsetMinutes * 60_000, offsetMinutes, basis: 'recorded' };
  }
  // The clock's own offset decides on which side of a change to summer time it stands.
  const guess = zoneOf(asUtcMs, recorded);
  const zone = zoneOf(asUtcMs - guess.offsetMinutes * 60_000, recorded);
  return { atMs: asUtcMs - zone.offsetMinutes * 60_000, ...zone };
}

/** `Date.parse` takes the 31st of February for a day in March. */
function isDay(date: string): boolean {
  const midnight = new Date(`${date}T00:00:00Z`);
  return !Number.isNaN(midnight.getTime()) && midnight.toISOString().startsWith(date);
}

function zoneOf(
  atMs: number,
  { longitude, zoneOffsetAt }: RecordedMoment,
): Pick<Moment, 'offsetMinutes' | 'basis'> {
  const zoneMinutes = zoneOffsetAt(atMs);
  if (zoneOffsetAt.zoneName !== undefined) return { offsetMinutes: zoneMinutes, basis: 'named-zone' };
  const sunMinutes = longitude === undefined ? undefined : longitude * 4;
  const elsewhere =
    sunMinutes !== undefined && Math.abs(aroundTheDay(zoneMinutes - sunMinutes)) > mostZoneMinutes;
  return elsewhere
    ? { offsetMinutes: Math.round(sunMinutes / 60) * 60, basis: 'longitude-zone' }
    : { offsetMinutes: zoneMinutes, basis: 'computer-zone' };
}

/**
 * A recorded time as the clock at the place showed it, for people to read. Most clips know theirs in UTC only, by which
 * an afternoon can be another day; it is put into the zone that `momentOf` would take. Any other time stays as it is.
 * @returns ISO 8601 with the offset where that is known
 * @example localTime({ recordedAt: '2026-01-15T01:40:00Z', longitude: -126.7, zoneOffsetAt: () => 0 }) // '2026-01-14T17:40:00-08:00'
 */
export function localTime(recorded: RecordedMoment): string {
  const { recordedAt } = recorded;
  const atMs = recordedAt.endsWith('Z') ? Date.parse(recordedAt) : Number.NaN;
  if (Number.isNaN(atMs)) return recordedAt;
  const { offsetMinutes } = zoneOf(atMs, recorded);
  if (offsetMinutes === 0) return recordedAt;
  return `${new Date(atMs + offsetMinutes * 60_000).toISOString().slice(0, 19)}${offsetText(offsetMinutes)}`;
}

/**
 * Whether the clock time that is shown for a recording rests on its longitude alone.
 * @example isClockGuessed({ recordedAt: '2026-01-15T01:40:00Z', longitude: -126.7, zoneOffsetAt: () => 0 }) // true
 */
export function isClockGuessed(recorded: RecordedMoment): boolean {
  const { recordedAt } = recorded;
  const atMs = Date.parse(recordedAt.endsWith('Z') ? recordedAt : `${recordedAt}Z`);
  return !Number.isNaN(atMs) && zoneOf(atMs, recorded).basis === 'longitude-zone';
}

/**
 * An offset from UTC as ISO 8601 writes it.
 * @example offsetText(-210) // '-03:30'
 */
export function offsetText(minutes: number): string {
  const size = Math.abs(minutes);
  const [hours, remainder] = [Math.floor(size / 60), size % 60].map((part) => String(part).padStart(2, '0'));
  return `${minutes < 0 ? '-' : '+'}${hours}:${remainder}`;
}

/** The clocks farthest from the sun that people live by, in summer; from memory. */
const mostFromSunMinutes = 210;

/**
 * Whether a clock at this longitude can be so far ahead of UTC.
 * @example isZoneAt(120, 13) // true
 */
export function isZoneAt(offsetMinutes: number, longitude: number): boolean {
  return Math.abs(aroundTheDay(offsetMinutes - longitude * 4)) <= mostFromSunMinutes;
}

function minutesOf(offset: string): number {
  const minutes = Number(offset.slice(1, 3)) * 60 + Number(offset.slice(4, 6));
  return offset.startsWith('-') ? -minutes : minutes;
}

function aroundTheDay(minutes: number): number {
  return minutes - Math.round(minutes / 1440) * 1440;
}
