import type { Refusal, TrackSample } from '../domain/recording.ts';
import { parseIso6709 } from './iso6709.ts';
import { implausible } from './plausible.ts';
import type { BoundedFact } from './plausible.ts';
import { judgedNumber } from './recordedNumber.ts';
import { bareName, meaningOf, unitsOfShortNames, namePattern, qualifierPattern } from './telemetryNames.ts';
import type { TelemetryMeaning } from './telemetryNames.ts';
import { coordinatesOf } from './telemetryPosition.ts';
import type { Place } from './telemetryPosition.ts';
import * as values from './telemetryValues.ts';
import { readValue, valuePattern } from './telemetryValues.ts';
import type { TelemetryValue, UnitScale, ValueOrReason } from './telemetryValues.ts';

// Recorders write telemetry as text in many arrangements: one pair a line or many, "=" or ":" or a blank between
// name and value, brackets, commas, markup. No arrangement is assumed: a known name, directly followed on its line by
// something that can be its value, is a pair, and everything else is passed over. A value that cannot be true is
// refused, so that a misread arrangement shows up instead of becoming an exposure.

export type TelemetryFacts = Omit<TrackSample, 'startSeconds' | 'endSeconds'>;

export interface TelemetryContext {
  readonly source: string;
  /** Capture rate, for shutters written as an angle or without their unit. */
  readonly framesPerSecond?: number;
  /** Length of the clip: what is recorded for later belongs to something else. */
  readonly durationSeconds?: number;
  /** The container's own position, which tells the order of coordinates in a text. */
  readonly place?: Place;
}

// On one line: what stands empty ("EV:") does not take its value from the next.
const separator = String.raw`["'\])]?[ \t]{0,4}(?:[:=][ \t]{0,4})?["'\[]?(?<open>\()?["'\[]?[ \t]{0,2}`;
const secondOfPair = valuePattern.replaceAll('(?<', '(?<second_');
const heightBehind = String.raw`(?:[ \t]?,[ \t]?(?<height>[+-]?\d{1,6}(?:\.\d{1,6})?[ \t]?m\b)?)?`;
const pair = new RegExp(
  `(?<![\\p{L}\\p{N}])(?<qualifier>${qualifierPattern})?(?<name>${namePattern})(?![\\p{L}_])${separator}${valuePattern}` +
    // Either a second value follows, or nothing that would make the first a part of something longer, such as a date,
    // or of a name: "focal_len35: 24".
    `(?:(?:[ \\t]{0,2}[,; \\t][ \\t]{0,2}|(?=[+-]))(?<pair>${secondOfPair})${heightBehind})?(?![\\p{L}\\p{N}]|[-:./]\\d|[ \\t]?[:=])`,
  'giu',
);
// "f/2.8" and "F2.8" say what they are without a name.
const bareFNumber =
  /(?<![\p{L}\p{N}/])f[ \t]?\/?[ \t]?(?<top>\d{1,2}(?:\.\d{1,3})?)(?![\p{L}\p{N}/]|\.\d)/giu;
const markup = /<[^<>]{0,200}>|\{\\[^{}]{0,200}\}/g;
// Turns of the camera stand in groups as well: "Gimbal: Yaw:90.4, Pitch:-45.0, Roll:0.0", and three in a row under
// "G.PRY". Those of the aircraft itself ("Drone:", "F.PRY") say nothing of where the picture looks.
const turn = String.raw`[ \t]{0,2}[+-]?\d{1,3}(?:\.\d{1,6})?[ \t]?°?`;
const cameraGroup = new RegExp(
  String.raw`(?<![\p{L}\p{N}_])(?:gimbal|camera)[ \t]?:[ \t]?(?<turns>(?:(?:yaw|pitch|roll)[ \t]?[:=]?${turn}[, \t]{0,3}){1,3})`,
  'giu',
);
const cameraTriple = new RegExp(
  String.raw`(?<![\p{L}\p{N}_.])G\.PRY[ \t]?\((?<pitch>${turn}),${turn},(?<yaw>${turn})\)`,
  'gu',
);

/** Reads the telemetry in one stretch of text. The first value of each fact counts. */
export function parseTelemetryPairs(
  text: string,
  context: TelemetryContext,
): { readonly facts: TelemetryFacts; readonly refusals: readonly Refusal[] } {
  const plain = ungrouped(text.slice(0, maxTextLength).replace(markup, ' '));
  const stated: Stated[] = [...plain.matchAll(pair)].flatMap((match) =>
    statedBy(match.groups ?? {}, context),
  );
  for (const match of plain.matchAll(bareFNumber)) {
    stated.push({ fact: 'fNumber', raw: match[0], value: Number(match.groups?.['top']) });
  }
  const facts: Partial<Record<BoundedFact, number>> = {};
  const refusals: Refusal[] = [];
  for (const { fact, raw, value } of stated) {
    const reason = typeof value === 'string' ? value : implausible(fact, value);
    if (reason !== undefined) refusals.push({ what: fact, raw: raw.trim(), source: context.source, reason });
    else facts[fact] ??= value as number;
  }
  return { facts, refusals };
}

/** A cue holds a few lines; a longer one is not telemetry, and the pattern's cost grows with the text. */
export const maxTextLength = 4096;

/** The camera's turns under names of their own. */
function ungrouped(text: string): string {
  return text
    .replace(cameraGroup, (_, turns: string) => turns.replace(/yaw|pitch|roll/gi, 'gimbal $&'))
    .replace(cameraTriple, 'gimbal pitch:$<pitch> gimbal yaw:$<yaw>');
}

interface Stated {
  readonly fact: BoundedFact;
  readonly raw: string;
  readonly value: ValueOrReason;
}

type Groups = Readonly<Record<string, string | undefined>>;

function statedBy(groups: Groups, context: TelemetryContext): readonly Stated[] {
  const name = groups['name'] ?? '';
  const meaning = meaningOf(name);
  if (meaning === undefined || meaning === 'ignored' || groups['qualifier'] !== undefined) return [];
  // "EV: F2.8": what opens with an f is an f-number, and the name before it stands empty.
  if (/^f/i.test(groups['lead'] ?? '') && meaning !== 'f-number') return [];
  const value = readValue(rawOf(groups), groups);
  if (unitsOfShortNames.get(bareName(name))?.includes(value.unit) === false) return [];
  if (meaning !== 'position') return [meantFact(meaning, value, context)];
  if (groups['pair'] === undefined) return [];
  const isTuple = groups['open'] !== undefined && /^(?:gps|rtk)$/i.test(name);
  const second = readValue(groups['pair'], secondGroups(groups));
  const hasHeight = groups['height'] !== undefined;
  return coordinatesOf({ first: value, second, isTuple, hasHeight }, context.place);
}

function rawOf(groups: Groups): string {
  const { lead, top, bottom, unit } = groups;
  return `${lead ?? ''}${top ?? ''}${bottom === undefined ? '' : `/${bottom}`}${unit ?? ''}`;
}

function secondGroups(groups: Groups): Record<string, string | undefined> {
  return Object.fromEntries(['lead', 'top', 'bottom', 'unit'].map((key) => [key, groups[`second_${key}`]]));
}

/** The fact that a value states under a name of one meaning, or why it states none. */
export function meantFact(
  meaning: Exclude<TelemetryMeaning, 'ignored' | 'position'>,
  value: TelemetryValue,
  { framesPerSecond }: TelemetryContext,
): Stated {
  const { raw } = value;
  switch (meaning) {
    case 'exposure-time':
      return {
        fact: 'exposureSeconds',
        raw,
        value: values.exposureSecondsOf(value, meaning, framesPerSecond),
      };
    case 'shutter': {
      const seconds = values.isAngle(value)
        ? values.exposureSecondsOfAngle(value, framesPerSecond)
        : values.exposureSecondsOf(value, meaning, framesPerSecond);
      return { fact: 'exposureSeconds', raw, value: seconds };
    }
    case 'shutter-angle':
      return { fact: 'exposureSeconds', raw, value: values.exposureSecondsOfAngle(value, framesPerSecond) };
    case 'f-number':
      return { fact: 'fNumber', raw, value: values.fNumberOf(value) };
    case 'focal-length':
      return { fact: 'focalLengthMm', raw, value: values.focalLengthMmOf(value) };
    case 'latitude':
      return { fact: 'latitude', raw, value: values.degreesOf(value, 'n', 's') };
    case 'longitude':
      return { fact: 'longitude', raw, value: values.degreesOf(value, 'e', 'w') };
    case 'heading':
      return { fact: 'headingDegrees', raw, value: values.directionDegreesOf(value) };
    default:
      return { fact: plainFacts[meaning], raw, value: values.inUnit(value, plainUnits[meaning]) };
  }
}

type PlainMeaning =
  | 'iso'
  | 'metered-offset'
  | 'exposure-bias'
  | 'ev'
  | 'white-balance'
  | 'altitude'
  | 'height-over-start'
  | 'ground-speed'
  | 'camera-pitch';

const plainFacts: Readonly<Record<PlainMeaning, BoundedFact>> = {
  iso: 'iso',
  'metered-offset': 'meteredOffsetStops',
  'exposure-bias': 'exposureBiasStops',
  ev: 'evAsReadStops',
  'white-balance': 'whiteBalanceKelvin',
  altitude: 'altitudeMetres',
  'height-over-start': 'heightOverStartMetres',
  'ground-speed': 'groundSpeedMetresPerSecond',
  'camera-pitch': 'cameraPitchDegrees',
};

const stops: UnitScale = { '': 1, ev: 1, stops: 1 };

const plainUnits: Readonly<Record<PlainMeaning, UnitScale>> = {
  iso: { '': 1 },
  'metered-offset': stops,
  'exposure-bias': stops,
  ev: stops,
  'white-balance': { '': 1, k: 1 },
  altitude: values.metresPerUnit,
  'height-over-start': values.metresPerUnit,
  'ground-speed': values.metresPerSecondPerUnit,
  'camera-pitch': { '': 1, '°': 1, deg: 1, degrees: 1 },
};

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
