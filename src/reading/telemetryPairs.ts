import { framesPerSecond } from '../domain/frameRate.ts';
import type { Refusal } from '../domain/recording.ts';
import { parseIso6709 } from './iso6709.ts';
import { implausible, judgedNumber, type BoundedFact, type JudgedNumbers } from './recordedNumber.ts';
import { combinedReadings, sightedValue, type Reading } from './sighting.ts';
import {
  meaningOf,
  namePattern,
  requiredUnits,
  readValue,
  statedFact,
  valuePattern,
  degreesOf,
  type StatedFact,
  type TelemetryValue,
} from './telemetryVocabulary.ts';

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
type ValueReader = (value: number | string, context: TelemetryContext) => JudgedNumbers;

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

/** What readers of telemetry must know of the clip that it belongs to. */
export interface ClipContext {
  /** Capture rate, for shutters recorded as an angle. */
  readonly framesPerSecond?: number;
  readonly durationSeconds?: number;
  /** The container's own position. */
  readonly place?: Place;
}

export function clipContext(readings: readonly Reading[]): ClipContext {
  const { sightings } = combinedReadings(readings);
  const rate = sightedValue(sightings, 'frameRate');
  const latitude = sightedValue(sightings, 'latitude');
  const longitude = sightedValue(sightings, 'longitude');
  return {
    framesPerSecond: rate === undefined ? undefined : framesPerSecond(rate),
    durationSeconds: sightedValue(sightings, 'durationSeconds'),
    place: latitude === undefined || longitude === undefined ? undefined : { latitude, longitude },
  };
}

// What is known of positions in telemetry text, before any code:
// - ISO 6709 puts the latitude first. Behind "GPS(" aircraft put the longitude first (common practice, no source).
// - The third number counts satellites in some and is a height in others, so it is neither. Where it has the unit of a
//   length, both orders are seen.
// - Letters of the hemisphere say which is which. A number beyond 90 can only be a longitude.
// - Receivers without a fix write 0, 0.
// - The container holds a position of its own in many clips, and no aircraft flies a degree away within one.

/** Degrees, + = north and east. */
interface Place {
  readonly latitude: number;
  readonly longitude: number;
}

/** Two numbers that stand together as a position. */
interface WrittenPosition {
  readonly first: TelemetryValue;
  readonly second: TelemetryValue;
  /** Whether they stand in brackets behind the name of the receiver: `GPS(`. */
  readonly isTuple: boolean;
  /** Whether a third number with a unit of length follows. */
  readonly hasHeight: boolean;
}

type Coordinates = readonly [StatedFact, StatedFact];

/** Latitude and longitude of a written position, in the order that can be true; `place` is the container's own. */
function coordinatesOf(position: WrittenPosition, place: Place | undefined): Coordinates {
  const { first, second, isTuple, hasHeight } = position;
  if (isEastWest(first) || isNorthSouth(second)) return coordinates(second, first);
  if (isNorthSouth(first) || isEastWest(second)) return coordinates(first, second);
  const usual = isTuple ? coordinates(second, first) : coordinates(first, second);
  const turned = isTuple ? coordinates(first, second) : coordinates(second, first);
  const possible = [usual, turned].filter(isPossible);
  if (possible.length === 0) return usual;
  const isNowhere = first.number === 0 && second.number === 0;
  if (place !== undefined && !isNowhere) {
    const reason = 'is more than a degree from the position in the container';
    return possible.find((order) => isNear(order, place)) ?? refused(usual, reason);
  }
  if (isTuple && hasHeight && possible.length === 2 && first.number !== second.number)
    return refused(usual, 'could have the latitude first or the longitude');
  return possible[0]!;
}

function isEastWest({ unit }: TelemetryValue): boolean {
  return unit === 'e' || unit === 'w';
}

function isNorthSouth({ unit }: TelemetryValue): boolean {
  return unit === 'n' || unit === 's';
}

function coordinates(north: TelemetryValue, east: TelemetryValue): Coordinates {
  return [
    { fact: 'latitude', raw: north.raw, value: degreesOf(north, 'n', 's') },
    { fact: 'longitude', raw: east.raw, value: degreesOf(east, 'e', 'w') },
  ];
}

function refused(order: Coordinates, reason: string): Coordinates {
  const [north, east] = order;
  return [
    { ...north, value: reason },
    { ...east, value: reason },
  ];
}

function isPossible([north, east]: Coordinates): boolean {
  return inReach(north, 90) && inReach(east, 180);
}

function inReach({ value }: StatedFact, mostDegrees: number): boolean {
  return typeof value === 'number' && Math.abs(value) <= mostDegrees;
}

const nearDegrees = 1;

function isNear([north, east]: Coordinates, { latitude, longitude }: Place): boolean {
  // Meridians meet at the poles: there a degree of longitude is no distance.
  const narrowing = Math.cos((latitude * Math.PI) / 180);
  const eastDegrees = Math.abs(((Number(east.value) - longitude + 540) % 360) - 180) * narrowing;
  return Math.abs(Number(north.value) - latitude) <= nearDegrees && eastDegrees <= nearDegrees;
}
