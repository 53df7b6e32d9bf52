import type { Refusal } from '../../domain/recording.ts';
import type { StatedNumbers } from '../recordedNumber.ts';
import { sighting, type Reading } from '../sighting.ts';
import { numbersUnder, rowsUnder, streamWith, textUnder, type GpmdStream } from './gpmdItems.ts';

// Positions in telemetry by four-character keys (gpmdItems.ts), in three forms:
//   GPS5  latitude, longitude, altitude, speed over ground, speed in space, divided by SCAL. What holds for all of a
//         payload stands beside it: GPSF the fix (0 none, 2 without altitude, 3 with), GPSP the dilution of precision
//         in hundredths (9999 without a fix), GPSU the time of the payload's start as yymmddhhmmss.sss in UTC.
//   GPS9  the same five, days since 2000-01-01, seconds since midnight, dilution of precision, fix.
//   GLPI  of aircraft; the elements of MAVLink's GLOBAL_POSITION_INT (message 33): time since the start, latitude,
//         longitude, height over the sea, height over the place of take-off, speeds to the north, the east and down,
//         the aircraft's heading, which is not the camera's.
// A receiver without a fix goes on writing the last place that it knew, days or continents ago.

/** A position and, where it was recorded, its time. */
export interface GpmdFix {
  readonly stated: StatedNumbers;
  /** Since 1970. */
  readonly utcMilliseconds?: number;
}

export interface GpmdFixes {
  readonly fixes: readonly GpmdFix[];
  /** Whether altitudes count from the ellipsoid: they do in the older form unless GPSA names the sea. */
  readonly isOverEllipsoid?: boolean;
  readonly refusals: readonly Refusal[];
}

const leastFix = 2;
const fixWithAltitude = 3;
const noPrecision = 9999;

/** The positions of a payload, in the newer form where both are there; refusals where the receiver had no fix. */
export function gpmdFixes(streams: readonly GpmdStream[], source: string): GpmdFixes {
  const nines = streamWith(streams, 'GPS9');
  if (nines !== undefined) return ofNines(nines, source);
  const fives = streamWith(streams, 'GPS5');
  if (fives !== undefined) return ofFives(fives, source);
  const flown = streamWith(streams, 'GLPI') ?? [];
  return { fixes: rowsUnder(flown, 'GLPI').flatMap(fixOfFlight), refusals: [] };
}

function ofNines(stream: GpmdStream, source: string): GpmdFixes {
  const rows = rowsUnder(stream, 'GPS9').filter((row) => row.length >= 9);
  return {
    // Those without a fix keep their places, for the others are spread over time by theirs.
    fixes: rows.map((row) => (row[8]! < leastFix ? { stated: {} } : fixOfNine(row))),
    refusals: rows.some((row) => row[8]! < leastFix) ? [noFix('GPS9 with a fix of 0', source)] : [],
  };
}

function ofFives(stream: GpmdStream, source: string): GpmdFixes {
  const rows = rowsUnder(stream, 'GPS5').filter((row) => row.length >= 5);
  const [fix] = numbersUnder(stream, 'GPSF');
  if (rows.length === 0) return { fixes: [], refusals: [] };
  if (fix !== undefined && fix < leastFix) return { fixes: [], refusals: [noFix(`GPSF ${fix}`, source)] };
  if (numbersUnder(stream, 'GPSP')[0] === noPrecision)
    return { fixes: [], refusals: [noFix(`GPSP ${noPrecision}`, source)] };
  const startMs = utcOfText(textUnder(stream, 'GPSU'));
  const fixes = rows.map((row, at): GpmdFix => ({
    stated: place(row, fix ?? fixWithAltitude),
    utcMilliseconds: at === 0 ? startMs : undefined,
  }));
  const isOverSea = textUnder(stream, 'GPSA')?.startsWith('MSL') === true;
  return { fixes, refusals: [], isOverEllipsoid: !isOverSea };
}

function fixOfFlight(row: readonly number[]): GpmdFix[] {
  if (row.length < 9) return [];
  const [latitude, longitude, altitudeMetres, heightOverStartMetres, north, east] = row.slice(1);
  const groundSpeedMetresPerSecond = Math.hypot(north!, east!);
  return [
    { stated: { latitude, longitude, altitudeMetres, heightOverStartMetres, groundSpeedMetresPerSecond } },
  ];
}

// A century: the receivers' own count of weeks ends before.
const mostDays = 36_525;

function fixOfNine(row: readonly number[]): GpmdFix {
  const [days, seconds, , fix] = row.slice(5) as [number, number, number, number];
  const isTime = days > 0 && days <= mostDays && seconds >= 0 && seconds < secondsPerDay;
  const utcMilliseconds = Date.UTC(2000, 0, 1) + Math.round((days * secondsPerDay + seconds) * 1000);
  return { stated: place(row, fix), utcMilliseconds: isTime ? utcMilliseconds : undefined };
}

const secondsPerDay = 86_400;

function place(row: readonly number[], fix: number): StatedNumbers {
  const [latitude, longitude, altitudeMetres, groundSpeedMetresPerSecond] = row;
  const altitude = fix >= fixWithAltitude ? altitudeMetres : undefined;
  return { latitude, longitude, altitudeMetres: altitude, groundSpeedMetresPerSecond };
}

const utcText = /^(\d\d)(\d\d)(\d\d)(\d\d)(\d\d)(\d\d)(?:\.(\d{1,3}))?$/;

function utcOfText(recorded: string | undefined): number | undefined {
  const [, ...fields] = utcText.exec(recorded ?? '') ?? [];
  if (fields.length === 0) return undefined;
  const [year, month, day, hour, minute, second] = fields as [string, string, string, string, string, string];
  const text = `20${year}-${month}-${day}T${hour}:${minute}:${second}.${(fields[6] ?? '').padEnd(3, '0')}Z`;
  const milliseconds = Date.parse(text);
  // Date.parse() takes the 31st of February for a day in March.
  const isDay = !Number.isNaN(milliseconds) && new Date(milliseconds).toISOString() === text;
  return isDay ? milliseconds : undefined;
}

function noFix(raw: string, source: string): Refusal {
  const reason = 'says that the receiver had no fix, so neither its place nor its time counts';
  return { what: 'latitude', raw, source, reason };
}

/** A time that a receiver knew, and where in the clip; seconds count from the first frame. */
export interface Moment {
  readonly clipSeconds: number;
  readonly utcMilliseconds: number;
}

// Receivers hand over a time up to a second late, and a first fix may be corrected by as much.
const slackSeconds = 3;
const slackFraction = 0.02;
// A damaged edit list can claim any time.
const longestClipSeconds = 86_400;

/**
 * When the first frame was taken, in UTC and whole seconds: the first moment less its place in the clip. Where the clip
 * does not play at the speed of life (a time lapse, slow motion), a place in it says nothing of the time before.
 */
export function firstMoment(moments: readonly Moment[], source: string): Reading {
  const first = moments.find(({ clipSeconds }) => Math.abs(clipSeconds) <= longestClipSeconds);
  const last = moments.at(-1);
  if (first === undefined || last === undefined) return { sightings: [], refusals: [] };
  const clipSeconds = last.clipSeconds - first.clipSeconds;
  const realSeconds = (last.utcMilliseconds - first.utcMilliseconds) / 1000;
  const slack = slackSeconds + slackFraction * clipSeconds;
  if (Math.abs(first.clipSeconds) > slackSeconds && Math.abs(realSeconds - clipSeconds) > slack) {
    return { sightings: [], refusals: [otherSpeed(first, source)] };
  }
  const seconds = Math.round(first.utcMilliseconds / 1000 - first.clipSeconds);
  const recordedAt = new Date(seconds * 1000).toISOString().replace('.000Z', 'Z');
  const how =
    first.clipSeconds < 1
      ? 'GPS time'
      : `GPS time of the first fix, less the ${first.clipSeconds.toFixed(1)} s of the clip before it`;
  return {
    sightings: [sighting('recordedAt', recordedAt, 'timed-track', `${source}, ${how}`)],
    refusals: [],
  };
}

function otherSpeed({ clipSeconds, utcMilliseconds }: Moment, source: string): Refusal {
  return {
    what: 'recordedAt',
    raw: `${new Date(utcMilliseconds).toISOString()} at ${clipSeconds.toFixed(1)} s`,
    source,
    reason: 'runs at another speed than the clip, so it does not tell when the clip began',
  };
}
