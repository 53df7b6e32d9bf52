import type { Refusal, TrackSample } from '../../domain/recording.ts';
import { median } from '../../domain/statistics.ts';
import { judgedNumbers, type JudgedNumbers } from '../recordedNumber.ts';
import { emptyReading, sighting, type FactSighting, type Reading } from '../sighting.ts';
import type { TelemetryContext } from '../telemetryPairs.ts';
import { gpmdStreams, numbersUnder, streamWith, rowsUnder, textUnder, type GpmdStream } from './gpmdItems.ts';
import { keepRefusals, trackReading, type TimedBytes } from './trackReading.ts';

// What is used of telemetry by four-character keys, mostly one payload for each second of the clip:
//   SHUT  exposure time in seconds, as a rule one for each frame
//   ISOE  sensitivity; in older files ISOG, the sensor's gain, of which 100 times is the sensitivity
//   WBAL  white balance in kelvin
//   GPS5, GPS9 or GLPI with what goes with them: see below
// How many values a payload holds differs by a frame now and then, so they are spread evenly over the time that the
// payload itself lasts, and frames are not counted.

// An hour of three values a frame at 240 frames/s are 2.6 million.
const maxValues = 3_000_000;

type PayloadTime = Omit<TimedBytes, 'bytes'>;

/** What one payload holds; each list is spread evenly over its time. */
interface Payload extends GpmdFixes {
  readonly exposuresSeconds: readonly number[];
  readonly isos: readonly number[];
  readonly kelvins: readonly number[];
}

export function parseGpmd(payloads: Iterable<TimedBytes>, context: TelemetryContext): Reading {
  const samples: TrackSample[] = [];
  const refusals: Refusal[] = [];
  const kelvins: number[] = [];
  const moments: Moment[] = [];
  let values = 0;
  let isOverEllipsoid = false;
  let payloadCount = 0;
  let deviceCount = 0;
  for (const { bytes, ...stated } of payloads) {
    const time = untilEnd(stated, context);
    if (values > maxValues) {
      const reason = `more than ${maxValues} values; only the beginning was read`;
      refusals.push({ what: 'telemetry', raw: context.source, source: context.source, reason });
      break;
    }
    payloadCount++;
    if (bytes.toString('latin1', 0, device.length) === device) deviceCount++;
    const payload = payloadOf(bytes, context.source);
    const { exposuresSeconds, isos, fixes } = payload;
    values += exposuresSeconds.length + isos.length + payload.kelvins.length + fixes.length;
    isOverEllipsoid ||= payload.isOverEllipsoid === true;
    const spread = spreadOver(time, payload, context.source);
    for (const sample of spread.samples) samples.push(sample);
    keepRefusals(refusals, [...payload.refusals, ...spread.refusals]);
    for (const kelvin of payload.kelvins) kelvins.push(kelvin);
    moments.push(...firstOf(time, fixes));
  }
  const reading = trackReading(samples, refusals, context);
  const first = firstMoment(moments, context.source);
  return {
    ...reading,
    sightings: [
      ...(isOverEllipsoid ? reading.sightings.map(overEllipsoid) : reading.sightings),
      ...whiteBalance(kelvins, context),
      ...first.sightings,
    ],
    refusals: [...reading.refusals, ...first.refusals],
    unreadTrack: payloadCount > 0 && deviceCount === 0 ? 'a data track (gpmd)' : undefined,
  };
}

// Each payload begins with one; other makers put data of their own into tracks of the same name.
const device = 'DEVC';

/** The last payload claims a whole second, and holds the values of the frames that were left. */
function untilEnd(
  { startSeconds, endSeconds }: PayloadTime,
  { durationSeconds }: TelemetryContext,
): PayloadTime {
  const isLast = durationSeconds !== undefined && startSeconds < durationSeconds;
  return { startSeconds, endSeconds: isLast ? Math.min(endSeconds, durationSeconds) : endSeconds };
}

function overEllipsoid(stated: FactSighting): FactSighting {
  return stated.fact === 'altitudeMetres'
    ? { ...stated, source: `${stated.source} (over the ellipsoid)` }
    : stated;
}

function payloadOf(bytes: Buffer, source: string): Payload {
  const streams = gpmdStreams(bytes);
  const numbers = (key: string): readonly number[] => numbersUnder(streamWith(streams, key) ?? [], key);
  const isos = numbers('ISOE');
  return {
    exposuresSeconds: numbers('SHUT'),
    isos: isos.length > 0 ? isos : numbers('ISOG').map(isoOfGain),
    kelvins: numbers('WBAL').filter((kelvin) => kelvin >= kelvinBounds.low && kelvin <= kelvinBounds.high),
    ...gpmdFixes(streams, source),
  };
}

/** To six digits: the gain is stored with no more. */
function isoOfGain(gain: number): number {
  return Number((gain * 100).toPrecision(6));
}

// From below a candle to above a clear blue sky; 0 stands for not known.
const kelvinBounds = { low: 1000, high: 50_000 } as const;

/** One sample for each exposure; where there is none, for each sensitivity; else for each position. */
function spreadOver(
  { startSeconds, endSeconds }: PayloadTime,
  { exposuresSeconds, isos, fixes }: Payload,
  source: string,
): { readonly samples: readonly TrackSample[]; readonly refusals: readonly Refusal[] } {
  const count = [exposuresSeconds, isos, fixes].find((values) => values.length > 0)?.length ?? 0;
  const at = (index: number): number => startSeconds + ((endSeconds - startSeconds) * index) / count;
  const samples: TrackSample[] = [];
  const refusals: Refusal[] = [];
  for (let index = 0; index < count; index++) {
    const middle = (index + 0.5) / count;
    const stated: JudgedNumbers['facts'] = {
      exposureSeconds: exposuresSeconds[index],
      iso: inForce(isos, middle),
      ...inForce(fixes, middle)?.stated,
    };
    const { facts, refusals: refused } = judgedNumbers(stated, source);
    keepRefusals(refusals, refused);
    if (Object.keys(facts).length > 0)
      samples.push({ startSeconds: at(index), endSeconds: at(index + 1), ...facts });
  }
  return { samples, refusals };
}

/** The value that holds at a share of the payload's time. */
function inForce<T>(values: readonly T[], share: number): T | undefined {
  return values[Math.floor(share * values.length)];
}

/** The first time that a payload tells, and its place in the clip. */
function firstOf({ startSeconds, endSeconds }: PayloadTime, fixes: readonly GpmdFix[]): Moment[] {
  const index = fixes.findIndex(({ utcMilliseconds }) => utcMilliseconds !== undefined);
  const utcMilliseconds = fixes[index]?.utcMilliseconds;
  if (utcMilliseconds === undefined) return [];
  const clipSeconds = startSeconds + ((endSeconds - startSeconds) * index) / fixes.length;
  return [{ clipSeconds, utcMilliseconds }];
}

function whiteBalance(kelvins: readonly number[], { source }: TelemetryContext): readonly FactSighting[] {
  const kelvin = median(kelvins);
  if (kelvin === undefined) return [];
  const how = `median of ${kelvins.length} samples`;
  return [sighting('whiteBalance', `${Math.round(kelvin)} K`, 'timed-track', `${source}, ${how}`)];
}

// Positions stand in three forms:
//   GPS5  latitude, longitude, altitude, speed over ground, speed in space, divided by SCAL. What holds for all of a
//         payload stands beside it: GPSF the fix (0 none, 2 without altitude, 3 with), GPSP the dilution of precision
//         in hundredths (9999 without a fix), GPSU the time of the payload's start as yymmddhhmmss.sss in UTC.
//   GPS9  the same five, days since 2000-01-01, seconds since midnight, dilution of precision, fix.
//   GLPI  of aircraft; the elements of MAVLink's GLOBAL_POSITION_INT (message 33): time since the start, latitude,
//         longitude, height over the sea, height over the place of take-off, speeds to the north, the east and down,
//         the aircraft's heading, which is not the camera's.
// A receiver without a fix goes on writing the last place that it knew, days or continents ago.

interface GpmdFix {
  readonly stated: JudgedNumbers['facts'];
  /** Since 1970. */
  readonly utcMilliseconds?: number;
}

interface GpmdFixes {
  readonly fixes: readonly GpmdFix[];
  /** Whether altitudes count from the ellipsoid: they do in the older form unless GPSA names the sea. */
  readonly isOverEllipsoid?: boolean;
  readonly refusals: readonly Refusal[];
}

const leastFix = 2;
const fixWithAltitude = 3;
const noPrecision = 9999;

/** The positions of a payload, in the newer form where both are there; refusals where the receiver had no fix. */
function gpmdFixes(streams: readonly GpmdStream[], source: string): GpmdFixes {
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

function place(row: readonly number[], fix: number): JudgedNumbers['facts'] {
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
interface Moment {
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
function firstMoment(moments: readonly Moment[], source: string): Reading {
  const first = moments.find(({ clipSeconds }) => Math.abs(clipSeconds) <= longestClipSeconds);
  const last = moments.at(-1);
  if (first === undefined || last === undefined) return emptyReading;
  const clipSeconds = last.clipSeconds - first.clipSeconds;
  const realSeconds = (last.utcMilliseconds - first.utcMilliseconds) / 1000;
  const slack = slackSeconds + slackFraction * clipSeconds;
  if (Math.abs(first.clipSeconds) > slackSeconds && Math.abs(realSeconds - clipSeconds) > slack) {
    const raw = `${new Date(first.utcMilliseconds).toISOString()} at ${first.clipSeconds.toFixed(1)} s`;
    const reason = 'runs at another speed than the clip, so it does not tell when the clip began';
    return { sightings: [], refusals: [{ what: 'recordedAt', raw, source, reason }] };
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
