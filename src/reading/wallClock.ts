/**
 * Local date and time of a recorded moment, as "YYYY-MM-DDThh:mm:ss". A time that is only known in UTC, as most
 * clips have it, is turned into the local time of this computer: notes are written in local time, and the computer
 * that reads the card usually keeps the one of the flight. A time with another offset, or with none, is taken as it is.
 */
export function wallClock(recordedAt: string): string | undefined {
  const match = /^(\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d)(?:\.\d+)?(Z|[+-]\d\d:\d\d)?$/.exec(recordedAt);
  if (match === null) return undefined;
  if (match[2] !== 'Z') return match[1];
  const moment = new Date(recordedAt);
  const local = new Date(moment.getTime() - moment.getTimezoneOffset() * 60_000);
  return Number.isNaN(local.getTime()) ? undefined : local.toISOString().slice(0, 19);
}

/**
 * Whether a local time lies in a span whose ends are dates with times, or times of day; both ends belong to it.
 * Of times of day, an end before the start means the next day.
 */
export function isBetween(clock: string, from: string | undefined, to: string | undefined): boolean {
  const after = from === undefined || compare(clock, from) >= 0;
  const before = to === undefined || compare(clock, to) <= 0;
  const overnight =
    from !== undefined && to !== undefined && isTimeOfDay(from) && isTimeOfDay(to) && full(from) > full(to);
  return overnight ? after || before : after && before;
}

function compare(clock: string, end: string): number {
  const mine = isTimeOfDay(end) ? clock.slice(11) : clock;
  const other = full(end);
  return mine < other ? -1 : mine > other ? 1 : 0;
}

function isTimeOfDay(text: string): boolean {
  return text.indexOf(':') === 2;
}

/** With seconds, without their fraction, and with "T" between date and time, so that text order is time order. */
function full(text: string): string {
  const plain = text.replace(' ', 'T').replace(/\.\d+$/, '');
  return /:\d\d:\d\d$/.test(plain) ? plain : `${plain}:00`;
}
