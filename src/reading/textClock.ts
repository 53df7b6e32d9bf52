import type { Refusal } from '../domain/recording.ts';

// Aircraft write the local time of the place, without a zone: "2024-07-09 18:22:41.183", with milliseconds and
// microseconds behind commas, or "2017.08.05 14:11:51". A day first ("05.08.2017") could be a month first: not read.
const clock =
  /(?<![\d.])(\d{4})([-./])(\d{1,2})\2(\d{1,2})[ \tT]{1,2}(\d{1,2}):(\d\d):(\d\d)(?:[.,:](\d{3}))?(?:[.,:]?(\d{3}))?(Z|[+-]\d\d:\d\d)?(?![\d:])/;

/** A clock time as it stands in a text, or why it is none; undefined where there is none. */
export type TextClock = { readonly recordedAt: string } | Pick<Refusal, 'raw' | 'reason'>;

/**
 * The first clock time in a text, turned back by the seconds that passed since the clip began.
 *
 * @returns ISO 8601, with as many digits behind the seconds as were written; with a zone only where one was written
 * @example textClock('FrameCnt: 30\n2024-07-09 18:22:41,183,402', 1) // { recordedAt: '2024-07-09T18:22:40.183402' }
 */
export function textClock(text: string, passedSeconds: number): TextClock | undefined {
  const match = clock.exec(text);
  if (match === null) return undefined;
  const [
    raw,
    year = '',
    ,
    month = '',
    day = '',
    hours = '',
    minutes,
    seconds,
    milliseconds = '',
    micros = '',
  ] = match;
  const written = `${year}-${month.padStart(2, '0')}-${day.padStart(2, '0')}T${hours.padStart(2, '0')}:${minutes}:${seconds}`;
  const atMs = Date.parse(`${written}.${milliseconds.padEnd(3, '0')}Z`);
  // Date.parse takes the 31st of February for a day in March.
  if (Number.isNaN(atMs) || Number(new Date(atMs).getUTCDate()) !== Number(day))
    return { raw, reason: 'is a time of no calendar' };
  if (Number(year) < 1990) return { raw, reason: 'is the zero of a clock that was never set' };
  const passedMs = milliseconds === '' ? Math.round(passedSeconds) * 1000 : Math.round(passedSeconds * 1000);
  const [whole = '', fraction = ''] = new Date(atMs - passedMs).toISOString().slice(0, -1).split('.');
  const digits = milliseconds === '' ? '' : `.${fraction}${micros}`;
  return { recordedAt: `${whole}${digits}${match[10] ?? ''}` };
}
