import { exposureSecondsForAngle } from '../domain/shutter.ts';
import type { Refusal, TrackSample } from '../domain/recording.ts';
import { implausible } from './plausible.ts';
import type { BoundedFact } from './plausible.ts';
import { meaningOf, namePattern, qualifierPattern } from './telemetryNames.ts';
import type { TelemetryMeaning } from './telemetryNames.ts';
import { degreesOf, exposureSecondsOf, readValue, valuePattern } from './telemetryValues.ts';
import type { TelemetryValue } from './telemetryValues.ts';

// Recorders write telemetry as text in many arrangements: one pair a line or many, "=" or ":" or a blank between
// name and value, brackets, commas, markup. No arrangement is assumed: a known name, directly followed by something
// that can be its value, is a pair, and everything else is passed over. A value that cannot be true is refused, so
// that a misread arrangement shows up instead of becoming an exposure.

export type TelemetryFacts = Omit<TrackSample, 'startSeconds' | 'endSeconds'>;

export interface TelemetryContext {
  readonly source: string;
  /** Capture rate, for shutters written as an angle. */
  readonly framesPerSecond?: number;
  /** Length of the clip: what is recorded for later belongs to something else. */
  readonly durationSeconds?: number;
}

const separator = String.raw`["'\])]?\s{0,4}(?:[:=]\s{0,4})?["'(\[]?\s{0,2}`;
const secondOfPair = valuePattern.replaceAll('(?<', '(?<second_');
const pair = new RegExp(
  `(?<![\\p{L}\\p{N}])(?<qualifier>${qualifierPattern})?(?<name>${namePattern})(?![\\p{L}_])${separator}${valuePattern}` +
    // Either a second value follows, or nothing that would make the first a part of something longer, such as a date.
    `(?:(?:\\s{0,2}[,;\\s]\\s{0,2}|(?=[+-]))(?<pair>${secondOfPair}))?(?![\\p{L}\\p{N}]|[-:./]\\d)`,
  'giu',
);
// "f/2.8" and "F2.8" say what they are without a name.
const bareFNumber = /(?<![\p{L}\p{N}/])f\s?\/?\s?(?<top>\d{1,3}(?:\.\d{1,3})?)(?![\p{L}\p{N}/])/giu;
const markup = /<[^<>]{0,200}>|\{\\[^{}]{0,200}\}/g;

/** Reads the telemetry in one stretch of text. The first value of each fact counts. */
export function parseTelemetryPairs(
  text: string,
  context: TelemetryContext,
): { readonly facts: TelemetryFacts; readonly refusals: readonly Refusal[] } {
  const plain = text.slice(0, maxTextLength).replace(markup, ' ');
  const found: Found[] = [...plain.matchAll(pair)].flatMap((match) => meant(match.groups ?? {}, context));
  for (const match of plain.matchAll(bareFNumber)) {
    found.push({ fact: 'fNumber', raw: match[0], value: Number(match.groups?.['top']) });
  }
  const facts: Partial<Record<BoundedFact, number>> = {};
  const refusals: Refusal[] = [];
  for (const { fact, raw, value } of found) {
    const reason = typeof value === 'string' ? value : implausible(fact, value);
    if (reason !== undefined) refusals.push({ what: fact, raw: raw.trim(), source: context.source, reason });
    else facts[fact] ??= value as number;
  }
  return { facts, refusals };
}

/** A cue holds a few lines; a longer one is not telemetry, and the pattern's cost grows with the text. */
export const maxTextLength = 4096;

interface Found {
  readonly fact: BoundedFact;
  readonly raw: string;
  /** The value, or why there is none. */
  readonly value: number | string;
}

function meant(groups: Readonly<Record<string, string | undefined>>, context: TelemetryContext): Found[] {
  const meaning = meaningOf(groups['name'] ?? '');
  if (meaning === undefined || meaning === 'ignored' || groups['qualifier'] !== undefined) return [];
  const value = readValue(rawOf(groups), groups);
  if (meaning === 'shutter' && (groups['name'] ?? '').length === 2 && !value.ratio) return [];
  if (meaning !== 'position') return [meantFact(meaning, value, context)];
  if (groups['pair'] === undefined) return [];
  return position(value, readValue(groups['pair'], secondGroups(groups)));
}

function rawOf(groups: Readonly<Record<string, string | undefined>>): string {
  const { lead, top, bottom, unit } = groups;
  return `${lead ?? ''}${top ?? ''}${bottom === undefined ? '' : `/${bottom}`}${unit ?? ''}`;
}

function secondGroups(
  groups: Readonly<Record<string, string | undefined>>,
): Record<string, string | undefined> {
  return Object.fromEntries(['lead', 'top', 'bottom', 'unit'].map((key) => [key, groups[`second_${key}`]]));
}

/** The fact that a value states under a name of one meaning, or why it states none. */
export function meantFact(
  meaning: Exclude<TelemetryMeaning, 'ignored' | 'position'>,
  value: TelemetryValue,
  context: TelemetryContext,
): Found {
  const { raw } = value;
  switch (meaning) {
    case 'exposure-time':
      return { fact: 'exposureSeconds', raw, value: exposureSecondsOf(value, meaning) };
    case 'shutter':
      return {
        fact: 'exposureSeconds',
        raw,
        value: isAngle(value) ? fromAngle(value, context) : exposureSecondsOf(value, meaning),
      };
    case 'shutter-angle':
      return { fact: 'exposureSeconds', raw, value: fromAngle(value, context) };
    case 'latitude':
      return { fact: 'latitude', raw, value: degreesOf(value, 'n', 's') };
    case 'longitude':
      return { fact: 'longitude', raw, value: degreesOf(value, 'e', 'w') };
    case 'heading':
      return { fact: 'headingDegrees', raw, value: value.number < 0 ? value.number + 360 : value.number };
    default:
      return { fact: plainFacts[meaning], raw, value: inUnit(value, plainUnits[meaning]) };
  }
}

type PlainMeaning = 'iso' | 'f-number' | 'metered-offset' | 'exposure-bias' | 'focal-length' | 'altitude';

const plainFacts: Readonly<Record<PlainMeaning, BoundedFact>> = {
  iso: 'iso',
  'f-number': 'fNumber',
  'metered-offset': 'meteredOffsetStops',
  'exposure-bias': 'exposureBiasStops',
  'focal-length': 'focalLengthMm',
  altitude: 'altitudeMetres',
};

const plainUnits: Readonly<Record<PlainMeaning, readonly string[]>> = {
  iso: [],
  'f-number': [],
  'metered-offset': ['ev', 'stops'],
  'exposure-bias': ['ev', 'stops'],
  'focal-length': ['mm'],
  altitude: ['m', 'metres', 'meters'],
};

function inUnit(value: TelemetryValue, units: readonly string[]): number | string {
  return value.unit === '' || units.includes(value.unit) ? value.number : `has the unit ${value.unit}`;
}

function isAngle({ unit }: TelemetryValue): boolean {
  return ['°', 'deg', 'degrees'].includes(unit);
}

function fromAngle(value: TelemetryValue, { framesPerSecond }: TelemetryContext): number | string {
  if (value.unit !== '' && !isAngle(value)) return `has the unit ${value.unit}`;
  if (!(value.number > 0 && value.number <= 360)) return 'is not an angle above 0 and up to 360 degrees';
  if (framesPerSecond === undefined) return 'is an angle, and the frame rate is not known';
  return exposureSecondsForAngle({ angleDegrees: value.number, framesPerSecond });
}

/** Latitude first (ISO 6709), unless hemisphere letters say otherwise. */
function position(first: TelemetryValue, second: TelemetryValue): Found[] {
  const swapped =
    'ew'.includes(first.unit) && first.unit !== '' && 'ns'.includes(second.unit) && second.unit !== '';
  const [north, east] = swapped ? [second, first] : [first, second];
  return [
    { fact: 'latitude', raw: north.raw, value: degreesOf(north, 'n', 's') },
    { fact: 'longitude', raw: east.raw, value: degreesOf(east, 'e', 'w') },
  ];
}
