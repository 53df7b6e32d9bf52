import type { Recording } from '../domain/recording.ts';
import { workedOutZone } from './recordedTime.ts';

/** When a recording was taken, as its own clock counts. */
export interface ClockTime {
  /** Since 1970. Tells a difference only from a time that was written in the same way: see `areComparable`. */
  readonly atSeconds: number;
  /** How finely the clock was written: 1 for whole seconds. */
  readonly resolutionSeconds: number;
  /** Whether the zone of the clock was written too. */
  readonly hasOffset: boolean;
}

const form = /^(\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d)(\.\d+)?(Z|[+-]\d\d:\d\d)?$/;

/** The recorded time of a recording; undefined where there is none, or it is of no calendar. */
export function clockTime({ facts }: Recording): ClockTime | undefined {
  const { value = '', source = '' } = facts.recordedAt ?? {};
  const [, whole, fraction = '', written] = form.exec(value) ?? [];
  if (whole === undefined) return undefined;
  // A zone that was worked out: the clock wrote none, and a recording of the same clock without a fix has none.
  const offset = source.includes(workedOutZone) ? undefined : written;
  const milliseconds = Date.parse(`${whole}${offset ?? 'Z'}`);
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
