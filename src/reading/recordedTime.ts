import type { Recording } from '../domain/recording.ts';

/** A wall time as text, or the reason why it cannot be one. */
type WallTime = { readonly recordedAt: string } | { readonly reason: string };

/** Undefined where the writer left it blank. */
export type RecordedTime = WallTime | undefined;

const exifDate = /^(\d{4})[:-](\d\d)[:-](\d\d)[ T](\d\d):(\d\d):(\d\d)$/;
const xmpDate = /^(\d{4})-(\d\d)-(\d\d)T(\d\d):(\d\d)(?::(\d\d)(?:\.(\d{1,9}))?)?(Z|[+-]\d\d:\d\d)?$/;
const containerDate =
  /^(\d{4})-(\d\d)-(\d\d)[T ](\d\d):(\d\d):(\d\d)(?:\.(\d{1,9}))?(?:(Z)|([+-]\d\d):?(\d\d))?$/;
const recordedOffset = /^([+-])(\d\d):(\d\d)$/;
// Blank fields are filled with spaces, or zeros, between the colons (CIPA DC-008, DateTimeOriginal).
const blank = /^[\s:0-]*$/;

/**
 * EXIF date, fraction and offset as one ISO 8601 text. The offset is given only where one was recorded; nothing passes
 * through the clock or the zone of this machine.
 * @example exifTime({ date: '2026:05:14 07:08:09', subSeconds: '007', offset: '+02:00' }) // { recordedAt: '2026-05-14T07:08:09.007+02:00' }
 */
export function exifTime(recorded: {
  readonly date: string | undefined;
  readonly subSeconds: string | undefined;
  readonly offset: string | undefined;
}): RecordedTime {
  const date = recorded.date?.trim() ?? '';
  if (blank.test(date)) return undefined;
  const fields = exifDate.exec(date)?.slice(1);
  if (!fields) return { reason: 'it is no date and time of the form YYYY:MM:DD hh:mm:ss' };
  const digits = /^\d{1,9}/.exec(recorded.subSeconds?.trim() ?? '')?.[0];
  const offset = recorded.offset?.trim() ?? '';
  return wallTime(fields, digits, isOffset(offset) ? offset : '');
}

/**
 * An XMP date (ISO 8601 profile of XMP specification part 1, 8.2.1.2) that says at least the minute.
 * @example xmpTime('2026-05-14T07:08+02:00') // { recordedAt: '2026-05-14T07:08:00+02:00' }
 */
export function xmpTime(text: string): RecordedTime {
  const date = text.trim();
  if (blank.test(date)) return undefined;
  const fields = xmpDate.exec(date)?.slice(1);
  if (!fields) return { reason: 'it is no date and time of the form YYYY-MM-DDThh:mm:ss' };
  const offset = fields[7] ?? '';
  if (offset !== '' && offset !== 'Z' && !isOffset(offset))
    return { reason: 'its offset from UTC does not exist' };
  return wallTime([...fields.slice(0, 5), fields[5] ?? '00'], fields[6], offset);
}

const gpsDate = /^(\d{4})[:-](\d\d)[:-](\d\d)$/;

/**
 * The moment of a receiver's date and its time of day, both in UTC, in milliseconds since 1970; undefined where either
 * cannot be one.
 * @param time hours, minutes, seconds, the last possibly with a fraction
 * @example exifGpsTime('2026:05:14', [5, 8, 9.5]) // 1778735289500
 */
export function exifGpsTime(date: string | undefined, time: readonly number[]): number | undefined {
  const [, year, month, day] = gpsDate.exec(date?.trim() ?? '') ?? [];
  const [hour = NaN, minute = NaN, second = NaN] = time;
  if (
    year === undefined ||
    !(hour >= 0 && hour < 24 && minute >= 0 && minute < 60 && second >= 0 && second < 61)
  )
    return undefined;
  const midnight = wallTime([year, month, day, '00', '00', '00'], undefined, 'Z');
  if ('reason' in midnight) return undefined;
  return Date.parse(midnight.recordedAt) + Math.round((hour * 3600 + minute * 60 + second) * 1000);
}

/**
 * A date and time among the tags of a clip. Containers that count in whole seconds are written out with a fraction of
 * zeros; that is left away.
 * @example containerTime('2026-05-14 07:08:09.000000+0200') // { recordedAt: '2026-05-14T07:08:09+02:00' }
 */
export function containerTime(text: string): WallTime {
  const fields = containerDate.exec(text.trim())?.slice(1);
  if (!fields) return { reason: 'is not a date and time' };
  const [fraction, utc = '', offsetHours, offsetMinutes] = fields.slice(6);
  const offset = offsetHours === undefined ? utc : `${offsetHours}:${offsetMinutes}`;
  if (offsetHours !== undefined && !isOffset(offset)) return { reason: 'its offset from UTC does not exist' };
  return wallTime(fields.slice(0, 6), /^0+$/.test(fraction ?? '') ? undefined : fraction, offset);
}

function wallTime(
  fields: readonly (string | undefined)[],
  fraction: string | undefined,
  offset: string,
): WallTime {
  const [year, month, day, hour, minute, second] = fields as [string, string, string, string, string, string];
  const isDay = Number(day) >= 1 && Number(day) <= daysInMonth(Number(year), Number(month));
  if (!isDay) return { reason: 'that day does not exist' };
  // 60: a leap second.
  if (Number(hour) > 23 || Number(minute) > 59 || Number(second) > 60)
    return { reason: 'that time does not exist' };
  const point = fraction === undefined ? '' : `.${fraction}`;
  return { recordedAt: `${year}-${month}-${day}T${hour}:${minute}:${second}${point}${offset}` };
}

function daysInMonth(year: number, month: number): number {
  const isLeapYear = (year % 4 === 0 && year % 100 !== 0) || year % 400 === 0;
  const days = [31, isLeapYear ? 29 : 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];
  return days[month - 1] ?? 0;
}

// Zones lie between -12:00 and +14:00.
function isOffset(text: string): boolean {
  const [, sign, hours, minutes] = recordedOffset.exec(text) ?? [];
  if (sign === undefined) return false;
  const total = Number(hours) * 60 + Number(minutes);
  return Number(minutes) < 60 && total <= (sign === '+' ? 14 : 12) * 60;
}

/** Whether a time in the form of ISO 8601 ends with its offset from UTC. */
export function hasOffset(time: string): boolean {
  return /(?:Z|[+-]\d\d:\d\d)$/.test(time);
}

/** Milliseconds since 1970 of a time in the form of ISO 8601, by UTC where it has no offset. */
export function momentMs(time: string): number {
  return Date.parse(hasOffset(time) ? time : `${time}Z`);
}

/** When a recording was taken, as its own clock counts. */
export interface ClockTime {
  /** Since 1970. Tells a difference only from a time that was written in the same way: see `areComparable`. */
  readonly atSeconds: number;
  /** How finely the clock was written: 1 for whole seconds. */
  readonly resolutionSeconds: number;
  /** Whether the zone of the clock was written too. */
  readonly hasOffset: boolean;
}

/** A still with the time by which it stands among others. */
export interface TimedStill extends ClockTime {
  readonly recording: Recording;
}

/** No camera takes two frames so soon after each other: these are pictures of two lenses; common practice, no source. */
export const simultaneousSeconds = 0.02;

const isoTime = /^(\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d)(\.\d+)?(Z|[+-]\d\d:\d\d)?$/;

/** The recorded time of a recording; undefined where there is none, or it is of no calendar. */
export function clockTime({ facts }: Recording): ClockTime | undefined {
  const { value = '', zoneWorkedOut } = facts.recordedAt ?? {};
  const [, seconds, fraction = '', written] = isoTime.exec(value) ?? [];
  if (seconds === undefined) return undefined;
  // A zone that was worked out: the clock wrote none, and a recording of the same clock without a fix has none.
  const offset = zoneWorkedOut === true ? undefined : written;
  const milliseconds = Date.parse(`${seconds}${offset ?? 'Z'}`);
  if (Number.isNaN(milliseconds)) return undefined;
  return {
    atSeconds: milliseconds / 1000 + Number(`0${fraction}`),
    resolutionSeconds: 10 ** -Math.max(0, fraction.length - 1),
    hasOffset: offset !== undefined,
  };
}

/** Whether all times are known and count by one kind of clock: UTC beside local time tells no difference. */
export function areComparable(times: readonly (ClockTime | undefined)[]): times is readonly ClockTime[] {
  return times.every((time) => time !== undefined && time.hasOffset === times[0]?.hasOffset);
}
