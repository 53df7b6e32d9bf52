import type { Refusal } from '../domain/recording.ts';
import type { ClipContext } from './clipContext.ts';
import { parseIso6709 } from './position.ts';
import { implausible, judgedNumber, type BoundedFact, type JudgedNumbers } from './recordedNumber.ts';
import { meaningOf, namePattern, requiredUnits } from './telemetryNames.ts';
import { coordinatesOf } from './telemetryPosition.ts';
import { readValue, statedFact, valuePattern, type StatedFact } from './telemetryValues.ts';

// Recorders write telemetry as text in many arrangements: one pair a line or many, "=" or ":" or a blank between
// name and value, brackets, commas, markup. No arrangement is assumed: a known name, directly followed on its line by
// something that can be its value, is a pair, and everything else is passed over. A value that cannot be true is
// refused, so that a misread arrangement shows up instead of becoming an exposure.

/** The clip that telemetry belongs to, and where in it the telemetry stands. */
export interface TelemetryContext extends ClipContext {
  readonly source: string;
}

// On one line: what stands empty ("EV:") does not take its value from the next.
const separator = String.raw`["'\])]?[ \t]{0,4}(?:[:=][ \t]{0,4})?["'\[]?(?<open>\()?["'\[]?[ \t]{0,2}`;
const secondOfPair = valuePattern.replaceAll('(?<', '(?<second_');
const heightBehind = String.raw`(?:[ \t]?,[ \t]?(?<height>[+-]?\d{1,6}(?:\.\d{1,6})?[ \t]?m\b)?)?`;
const pair = new RegExp(
  `(?<![\\p{L}\\p{N}])${namePattern}(?![\\p{L}_])${separator}${valuePattern}` +
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
export function parseTelemetryPairs(text: string, context: TelemetryContext): JudgedNumbers {
  const plain = ungrouped(text.slice(0, maxTextLength).replace(markup, ' '));
  const stated: StatedFact[] = [...plain.matchAll(pair)].flatMap((match) =>
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

type Groups = Readonly<Record<string, string | undefined>>;

function statedBy(groups: Groups, context: TelemetryContext): readonly StatedFact[] {
  const name = groups['name'] ?? '';
  const meaning = meaningOf(name);
  if (meaning === undefined || meaning === 'ignored' || groups['qualifier'] !== undefined) return [];
  // "EV: F2.8": what opens with an f is an f-number, and the name before it stands empty.
  if (/^f/i.test(groups['lead'] ?? '') && meaning !== 'f-number') return [];
  const value = readValue(rawOf(groups), groups);
  if (requiredUnits(name)?.includes(value.unit) === false) return [];
  if (meaning !== 'position') return [statedFact(meaning, value, context.framesPerSecond)];
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

/** Reads a value that was stored under a key of timed metadata. */
export type ValueReader = (value: number | string, context: TelemetryContext) => JudgedNumbers;

// "exposure-time-nanoseconds", "exposureTimeUs": what stands behind a name says the unit.
const unitAtEnd =
  /^(.*?[a-z0-9])(?:[\s_-]|(?=[A-Z]))(nanoseconds?|microseconds?|milliseconds?|seconds?|secs?|ns|us|ms|s|mm|metres|meters|m|degrees|deg)$/i;

/** How to read what stands under a key, by the trade's words in the last part of its name; undefined where it says nothing to us. */
export function valueReader(key: string): ValueReader | undefined {
  const name = key.slice(key.lastIndexOf('.') + 1);
  if (/iso6709$/i.test(name)) return readPlace;
  const direct = meaningOf(name);
  const [, bare = name, unit = ''] = (direct === undefined ? unitAtEnd.exec(name) : undefined) ?? [];
  const meaning = direct ?? meaningOf(bare);
  if (meaning === undefined || meaning === 'ignored' || meaning === 'position') return undefined;
  if (unit === '' && requiredUnits(name) !== undefined) return undefined;
  return (recorded, context) => {
    // Where the name brings the unit, a text is to be a number, or brings its own ("1/50 s").
    const value = unit !== '' && isNumber(recorded) ? Number(recorded) : recorded;
    if (typeof value === 'string') return parseTelemetryPairs(`${bare}: ${value.slice(0, 100)}`, context);
    const raw = String(value);
    const number = { raw, number: value, ratio: false, signed: value < 0, unit: unit.toLowerCase() };
    const stated = statedFact(meaning, number, context.framesPerSecond);
    const what = stated.fact;
    if (typeof stated.value === 'string')
      return { facts: {}, refusals: [{ what, raw, source: context.source, reason: stated.value }] };
    const judged = judgedNumber(what, { value: stated.value, raw, source: context.source });
    return {
      facts: judged.value === undefined ? {} : { [what]: judged.value },
      refusals: judged.refusal === undefined ? [] : [judged.refusal],
    };
  };
}

function isNumber(recorded: number | string): boolean {
  return typeof recorded === 'number' || (recorded.trim() !== '' && Number.isFinite(Number(recorded)));
}

function readPlace(value: number | string, { source }: TelemetryContext): JudgedNumbers {
  const point = typeof value === 'string' ? parseIso6709(value) : undefined;
  if (point !== undefined) {
    const { altitudeMetres, ...place } = point;
    return { facts: altitudeMetres === undefined ? place : point, refusals: [] };
  }
  const reason = 'is not a position in the form of ISO 6709';
  return { facts: {}, refusals: [{ what: 'latitude', raw: String(value).slice(0, 100), source, reason }] };
}
