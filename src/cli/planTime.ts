import { displayText } from '../domain/displayText.ts';
import { HalfturnError } from '../domain/halfturnError.ts';
import { localTime, momentOf, type Moment, type RecordedMoment } from '../domain/localTime.ts';

/** How long a session may be, in minutes. */
const longestMinutes = 24 * 60;

/**
 * A length of time as people write it: `90`, `90min`, `2h`, `1h30`. A bare number is minutes.
 * @returns minutes
 */
export function minutesOf(text: string): number {
  const [, hours, more, minutes] =
    /^(?:(\d+(?:\.\d+)?)\s*h\s*(?:(\d{1,2})\s*(?:m|min)?)?|(\d+)\s*(?:m|min)?)$/.exec(text.trim()) ?? [];
  const total = hours === undefined ? Number(minutes ?? Number.NaN) : Number(hours) * 60 + Number(more ?? 0);
  if (total >= 0 && total <= longestMinutes) return total;
  throw new HalfturnError(
    `--for must be a length of up to a day, such as 90min or 2h, but is "${displayText(text)}".`,
  );
}

/** What tells the clock of a place. */
type Clock = Pick<RecordedMoment, 'longitude' | 'zoneOffsetAt'>;

/**
 * When a session starts: a date and time, or a time of today or tomorrow by the clock at the place. A time that has passed
 * today is meant for tomorrow.
 */
export function startOfSession(text: string, nowMs: number, clock: Clock): Moment {
  const [, day, time] = /^(?:(today|tomorrow)\s+)?(\d{1,2}:\d\d)$/i.exec(text.trim()) ?? [];
  if (time === undefined) {
    const moment = momentOf({ recordedAt: text.trim(), ...clock });
    if (moment !== undefined) return moment;
    throw noTime(text);
  }
  const on = (afterDays: number) => {
    const nowUtc = new Date(nowMs + afterDays * 86_400_000).toISOString();
    const date = localTime({ recordedAt: nowUtc, ...clock }).slice(0, 10);
    return momentOf({ recordedAt: `${date}T${time.padStart(5, '0')}`, ...clock });
  };
  const today = on(0);
  if (today === undefined) throw noTime(text);
  const isTomorrow = day?.toLowerCase() === 'tomorrow' || (day === undefined && today.atMs < nowMs - 600_000);
  return isTomorrow ? on(1)! : today;
}

function noTime(text: string): HalfturnError {
  return new HalfturnError(
    `--at must be a time such as 18:00, "tomorrow 18:00" or 2026-06-01T10:30, but is "${displayText(text)}".`,
    'An offset may follow a date and time: 2026-06-01T10:30+02:00.',
  );
}
