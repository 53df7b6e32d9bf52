import type { Refusal, TrackSample } from '../domain/recording.ts';
import { implausible, type BoundedFact } from './recordedNumber.ts';

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
