import type { Refusal } from '../../domain/recording.ts';
import type { StatedNumbers } from '../recordedNumber.ts';
import { firstUnder, rowsOf, scaled, textOf, type KeyedItem, type KeyedStreams } from './keyedItems.ts';

// Positions in telemetry by four-character keys, in three forms:
//   GPS5  latitude, longitude, altitude, speed over ground, speed in space, divided by SCAL. What holds for all of a
//         payload stands beside it: GPSF the fix (0 none, 2 without altitude, 3 with), GPSP the dilution of precision
//         in hundredths (9999 without a fix), GPSU the time of the payload's start as yymmddhhmmss.sss in UTC.
//   GPS9  the same five, days since 2000-01-01, seconds since midnight, dilution of precision, fix.
//   GLPI  of aircraft; the elements of MAVLink's GLOBAL_POSITION_INT (message 33): time since the start, latitude,
//         longitude, height over the sea, height over the place of take-off, speeds to the north, the east and down,
//         the aircraft's heading, which is not the camera's.
// A receiver without a fix goes on writing the last place that it knew, days or continents ago.

/** A position and, where it was recorded, its time. */
export interface KeyedFix {
  readonly stated: StatedNumbers;
  /** Since 1970. */
  readonly utcMilliseconds?: number;
}

interface Fixes {
  readonly fixes: readonly KeyedFix[];
  /** Set where altitudes count from the ellipsoid: they do in the older form unless GPSA names the sea. */
  readonly isOverEllipsoid?: true;
  readonly refusals: readonly Refusal[];
}

const leastFix = 2;
const fixWithAltitude = 3;
const noPrecision = 9999;

/** The positions of a payload, in the newer form where both are there; refusals where the receiver had no fix. */
export function keyedFixes(streams: KeyedStreams, source: string): Fixes {
  const nines = streams.find((items) => firstUnder(items, 'GPS9'));
  if (nines !== undefined) return ofNines(nines, source);
  const fives = streams.find((items) => firstUnder(items, 'GPS5'));
  if (fives !== undefined) return ofFives(fives, source);
  const flown = streams.find((items) => firstUnder(items, 'GLPI')) ?? [];
  return { fixes: rowsUnder(flown, 'GLPI').flatMap(fixOfFlight), refusals: [] };
}

function ofNines(items: readonly KeyedItem[], source: string): Fixes {
  const rows = rowsUnder(items, 'GPS9').filter((row) => row.length >= 9);
  return {
    // Those without a fix keep their places, for the others are spread over time by theirs.
    fixes: rows.map((row) => (row[8]! < leastFix ? { stated: {} } : fixOfNine(row))),
    refusals: rows.some((row) => row[8]! < leastFix) ? [noFix('GPS9 with a fix of 0', source)] : [],
  };
}

function ofFives(items: readonly KeyedItem[], source: string): Fixes {
  const rows = rowsUnder(items, 'GPS5').filter((row) => row.length >= 5);
  const fix = firstNumber(items, 'GPSF');
  if (rows.length === 0) return { fixes: [], refusals: [] };
  if (fix !== undefined && fix < leastFix) return { fixes: [], refusals: [noFix(`GPSF ${fix}`, source)] };
  if (firstNumber(items, 'GPSP') === noPrecision)
    return { fixes: [], refusals: [noFix(`GPSP ${noPrecision}`, source)] };
  const start = utcOfText(items);
  const fixes = rows.map((row): KeyedFix => ({ stated: place(row, fix ?? fixWithAltitude) }));
  const first = start === undefined ? {} : { utcMilliseconds: start };
  const level = firstUnder(items, 'GPSA');
  return {
    fixes: [{ ...fixes[0]!, ...first }, ...fixes.slice(1)],
    refusals: [],
    isOverEllipsoid: level !== undefined && textOf(level).startsWith('MSL') ? undefined : true,
  };
}

function fixOfFlight(row: readonly number[]): KeyedFix[] {
  if (row.length < 9) return [];
  const [latitude, longitude, altitudeMetres, heightOverStartMetres, north, east] = row.slice(1);
  const groundSpeedMetresPerSecond = Math.hypot(north!, east!);
  return [
    { stated: { latitude, longitude, altitudeMetres, heightOverStartMetres, groundSpeedMetresPerSecond } },
  ];
}

function rowsUnder(items: readonly KeyedItem[], key: string): readonly (readonly number[])[] {
  const item = firstUnder(items, key);
  if (item === undefined) return [];
  const scale = firstUnder(items, 'SCAL');
  const structure = firstUnder(items, 'TYPE');
  const rows = rowsOf(item, structure && textOf(structure));
  return scaled(rows, scale === undefined ? [] : rowsOf(scale).flat());
}

function firstNumber(items: readonly KeyedItem[], key: string): number | undefined {
  const item = firstUnder(items, key);
  return item && rowsOf(item)[0]?.[0];
}

// A century: the receivers' own count of weeks ends before.
const mostDays = 36_525;

function fixOfNine(row: readonly number[]): KeyedFix {
  const [days, seconds, , fix] = row.slice(5) as [number, number, number, number];
  const isTime = days > 0 && days <= mostDays && seconds >= 0 && seconds < secondsPerDay;
  const utcMilliseconds = Date.UTC(2000, 0, 1) + Math.round((days * secondsPerDay + seconds) * 1000);
  return { stated: place(row, fix), utcMilliseconds: isTime ? utcMilliseconds : undefined };
}

const secondsPerDay = 86_400;

function place(row: readonly number[], fix: number): StatedNumbers {
  const [latitude, longitude, altitudeMetres, groundSpeedMetresPerSecond] = row;
  const height = fix >= fixWithAltitude ? { altitudeMetres } : {};
  return { latitude, longitude, ...height, groundSpeedMetresPerSecond };
}

const written = /^(\d\d)(\d\d)(\d\d)(\d\d)(\d\d)(\d\d)(?:\.(\d{1,3}))?$/;

function utcOfText(items: readonly KeyedItem[]): number | undefined {
  const item = firstUnder(items, 'GPSU');
  const [, ...fields] = (item && written.exec(textOf(item))) ?? [];
  if (fields.length === 0) return undefined;
  const [year, month, day, hour, minute, second] = fields as [string, string, string, string, string, string];
  const text = `20${year}-${month}-${day}T${hour}:${minute}:${second}.${(fields[6] ?? '').padEnd(3, '0')}Z`;
  const milliseconds = Date.parse(text);
  // Date.parse() takes the 31st of February for a day in March.
  const isDay = !Number.isNaN(milliseconds) && new Date(milliseconds).toISOString() === text;
  return isDay ? milliseconds : undefined;
}

function noFix(raw: string, source: string): Refusal {
  return {
    what: 'latitude',
    raw,
    source,
    reason: 'says that the receiver had no fix, so neither its place nor its time counts',
  };
}
