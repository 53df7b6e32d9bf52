import type { Refusal } from '../domain/recording.ts';
import { implausible, type BoundedFact } from './plausible.ts';

/** A number as it was recorded. `raw` is what stood in the file; `source` says where. */
export interface RecordedNumber {
  readonly value: number;
  readonly raw: string;
  readonly source: string;
}

/** `value`: believed. `refusal`: found and not believed. Neither: the writer said that it does not know. */
export interface Judged {
  readonly value?: number;
  readonly refusal?: Refusal;
}

// Exif writers put 0 where a lens or a sensor told them nothing.
const zeroIsUnknown: ReadonlySet<BoundedFact> = new Set(['fNumber', 'iso', 'focalLengthMm']);

/**
 * Decides whether a recorded number can be true. 0/0 (not a number) is how Exif writers say "unknown".
 *
 * @example judgedNumber('exposureSeconds', { value: 4294967295, raw: '4294967295', source: 'EXIF' }).value // undefined
 */
export function judgedNumber(fact: BoundedFact, { value, raw, source }: RecordedNumber): Judged {
  if (Number.isNaN(value) || (value === 0 && zeroIsUnknown.has(fact))) return {};
  const reason = implausible(fact, value);
  return reason === undefined ? { value } : { refusal: { what: fact, raw, source, reason } };
}

/** Numbers by what they claim to be; undefined where the writer stated none. */
export type StatedNumbers = { readonly [N in BoundedFact]?: number | undefined };

export interface JudgedNumbers {
  readonly facts: { readonly [N in BoundedFact]?: number };
  readonly refusals: readonly Refusal[];
}

/**
 * Decides for each of several numbers of one source whether it can be true.
 *
 * @example judgedNumbers({ iso: 100, fNumber: 0, latitude: 91 }, 'EXIF').facts // { iso: 100 }
 */
export function judgedNumbers(stated: StatedNumbers, source: string): JudgedNumbers {
  const facts: Partial<Record<BoundedFact, number>> = {};
  const refusals: Refusal[] = [];
  for (const [fact, value] of Object.entries(stated) as [BoundedFact, number | undefined][]) {
    if (value === undefined) continue;
    const judged = judgedNumber(fact, { value, raw: String(value), source });
    if (judged.value !== undefined) facts[fact] = judged.value;
    if (judged.refusal !== undefined) refusals.push(judged.refusal);
  }
  return { facts, refusals };
}
