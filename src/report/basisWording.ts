import type { ExposureBasis } from '../domain/finding.ts';
import { stopsInWords } from '../domain/format.ts';

interface Judged {
  readonly basis: ExposureBasis;
  readonly leftOutStops?: number;
  readonly curveIsAssumed?: boolean;
}

const bases: Readonly<Record<ExposureBasis, string>> = {
  metered: "by the camera's own meter",
  picture: 'judged by its mean brightness, which also depends on the subject',
};

/** What an exposure was judged by, to end a sentence with. */
export function judgedBy({ basis, leftOutStops, curveIsAssumed }: Judged): string {
  if (curveIsAssumed === true)
    return `${bases[basis]} and on its transfer curve: none was recorded, and BT.709 is assumed`;
  if (leftOutStops === undefined) return bases[basis];
  return `${bases[basis]} and on where the camera put white in its curve (${stopsInWords(leftOutStops)} were left out for that)`;
}

/** Before a number of stops that something was left out of. */
export function atLeast({ leftOutStops }: Judged): string {
  return leftOutStops === undefined ? '' : 'at least ';
}
