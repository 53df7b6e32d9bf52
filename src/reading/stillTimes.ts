import type { Recording } from '../domain/recording.ts';

/** When a still was taken: seconds since 1970 as its own clock counts, and how finely that clock was written. */
export interface StillTime {
  readonly atSeconds: number;
  readonly resolutionSeconds: number;
}

/** The moment of a recording; a time without an offset is taken as it is, which serves for differences. */
export function stillTime({ facts }: Recording): StillTime | undefined {
  const match = /^(\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d)(\.\d+)?(Z|[+-]\d\d:\d\d)?$/.exec(
    facts.recordedAt?.value ?? '',
  );
  if (match === null) return undefined;
  const [, whole = '', fraction = '', offset = 'Z'] = match;
  const milliseconds = Date.parse(`${whole}${offset}`);
  if (Number.isNaN(milliseconds)) return undefined;
  const digits = Math.max(0, fraction.length - 1);
  return { atSeconds: milliseconds / 1000 + Number(`0${fraction}`), resolutionSeconds: 10 ** -digits };
}
