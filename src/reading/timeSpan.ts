import { localTime, momentOf, type RecordedMoment } from '../domain/localTime.ts';

/** Both ends belong to it. A time of day is that of every day. */
export interface TimeSpan {
  readonly from?: string;
  readonly to?: string;
}

// An offset without a date says no moment: the day may be another one there.
const spanEnd = /^(?:(\d{4}-\d\d-\d\d)[T ])?(\d\d:\d\d)(:\d\d)?(?:\.\d+)?(Z|[+-]\d\d:\d\d)?$/;

/** @example isSpanEnd('10:30+02:00') // false */
export function isSpanEnd(text: string): boolean {
  const [, date, time, seconds = '', offset] = spanEnd.exec(text) ?? [];
  if (time === undefined || (offset !== undefined && date === undefined)) return false;
  const recordedAt = `${date ?? '2000-01-01'}T${time}${seconds}${offset ?? 'Z'}`;
  return momentOf({ recordedAt, zoneOffsetAt: () => 0 }) !== undefined;
}

/**
 * Whether a recording was made within a span, to the second; without an offset, by the clock at its place. Of two times
 * of day, an end before the start means the next day.
 *
 * @example wasBetween({ recordedAt: '2026-05-14T10:00:00Z', longitude: -120, zoneOffsetAt: () => 0 }, { from: '02:00', to: '02:30' }) // true
 */
export function wasBetween(recorded: RecordedMoment, { from, to }: TimeSpan): boolean {
  const moment = momentOf(recorded);
  if (moment === undefined) return false;
  const atMs = Math.floor(moment.atMs / 1000) * 1000;
  const clock = localTime(recorded).slice(0, 19);
  const side = (end: string) => (hasOffset(end) ? atMs - Date.parse(end) : sideOfClock(clock, end));
  const after = from === undefined || side(from) >= 0;
  const before = to === undefined || side(to) <= 0;
  return isOvernight({ from, to }) ? after || before : after && before;
}

function isOvernight({ from, to }: TimeSpan): boolean {
  if (from === undefined || to === undefined) return false;
  return isTimeOfDay(from) && isTimeOfDay(to) && full(from) > full(to);
}

/** Below 0 before the end, above 0 after it: the order of the texts is the order of the times. */
function sideOfClock(clock: string, end: string): number {
  const mine = isTimeOfDay(end) ? clock.slice(11) : clock;
  const other = full(end);
  return mine < other ? -1 : mine > other ? 1 : 0;
}

function hasOffset(end: string): boolean {
  return /(?:Z|[+-]\d\d:\d\d)$/.test(end);
}

function isTimeOfDay(end: string): boolean {
  return end.indexOf(':') === 2;
}

function full(end: string): string {
  const plain = end.replace(' ', 'T').replace(/\.\d+$/, '');
  return /:\d\d:\d\d$/.test(plain) ? plain : `${plain}:00`;
}
