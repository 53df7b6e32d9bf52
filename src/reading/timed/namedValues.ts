import type { Refusal } from '../../domain/recording.ts';
import { parseIso6709 } from '../position.ts';
import { judgedNumber, type BoundedFact } from '../recordedNumber.ts';

import { bareName, meaningOf, unitsOfShortNames } from '../telemetryNames.ts';
import { meantFact, parseTelemetryPairs } from '../telemetryPairs.ts';
import type { TelemetryContext, TelemetryFacts } from '../telemetryPairs.ts';

interface NamedFacts {
  readonly facts: TelemetryFacts;
  readonly refusals: readonly Refusal[];
}

/** Reads a value that was stored under a key of timed metadata. */
export type ValueReader = (value: number | string, context: TelemetryContext) => NamedFacts;

// "exposure-time-nanoseconds", "exposureTimeUs": what stands behind a name says the unit.
const unitAtEnd =
  /^(.*?[a-z0-9])(?:[\s_-]|(?=[A-Z]))(nanoseconds?|microseconds?|milliseconds?|seconds?|secs?|ns|us|ms|s|mm|metres|meters|m|degrees|deg)$/i;
const secondsPerUnit: Readonly<Record<string, number>> = {
  n: 1e-9,
  mic: 1e-6,
  u: 1e-6,
  mil: 1e-3,
  ms: 1e-3,
  s: 1,
};

/** How to read what stands under a key, by the trade's words in the last part of its name; undefined where it says nothing to us. */
export function valueReader(key: string): ValueReader | undefined {
  const name = key.slice(key.lastIndexOf('.') + 1);
  if (/iso6709$/i.test(name)) return place;
  const direct = meaningOf(name);
  const split = direct === undefined ? unitAtEnd.exec(name) : null;
  const meaning = direct ?? meaningOf(split?.[1] ?? '');
  if (meaning === undefined || meaning === 'ignored' || meaning === 'position') return undefined;
  if (split === null && unitsOfShortNames.has(bareName(name))) return undefined;
  const { scale, unit } = unitOf(split?.[2]?.toLowerCase());
  return (recorded, context) => {
    // Where the name brings the unit, a text is to be a number, or brings its own ("1/50 s").
    const value = split === null || !isNumber(recorded) ? recorded : Number(recorded);
    if (typeof value === 'string')
      return parseTelemetryPairs(`${split?.[1] ?? name}: ${value.slice(0, 100)}`, context);
    // Scaled by division where that keeps whole numbers exact: 4,000,000 ns are 1/250 s.
    const number = scale < 1 ? value / Math.round(1 / scale) : value;
    const stated = { raw: String(value), number, ratio: false, signed: value < 0, unit };
    const found = meantFact(meaning, stated, context);
    return judged(found.fact, found.value, { raw: found.raw, source: context.source });
  };
}

function isNumber(recorded: number | string): boolean {
  return typeof recorded === 'number' || (recorded.trim() !== '' && Number.isFinite(Number(recorded)));
}

function unitOf(word: string | undefined): { readonly scale: number; readonly unit: string } {
  if (word === undefined) return { scale: 1, unit: '' };
  if (word === 'mm') return { scale: 1, unit: 'mm' };
  if (/^m(?:etres|eters)?$/.test(word)) return { scale: 1, unit: 'm' };
  if (word.startsWith('deg')) return { scale: 1, unit: '°' };
  const prefix = Object.keys(secondsPerUnit).find((one) => word.startsWith(one)) ?? 's';
  return { scale: secondsPerUnit[prefix] ?? 1, unit: 's' };
}

function place(value: number | string, { source }: TelemetryContext): NamedFacts {
  const point = typeof value === 'string' ? parseIso6709(value) : undefined;
  if (point === undefined) {
    const reason = 'is not a position in the form of ISO 6709';
    return { facts: {}, refusals: [{ what: 'latitude', raw: String(value).slice(0, 100), source, reason }] };
  }
  return { facts: point, refusals: [] };
}

function judged(
  fact: BoundedFact,
  value: number | string,
  { raw, source }: { readonly raw: string; readonly source: string },
): NamedFacts {
  if (typeof value === 'string') return { facts: {}, refusals: [{ what: fact, raw, source, reason: value }] };
  const result = judgedNumber(fact, { value, raw, source });
  return {
    facts: result.value === undefined ? {} : { [fact]: result.value },
    refusals: result.refusal === undefined ? [] : [result.refusal],
  };
}
