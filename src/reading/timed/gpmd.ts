import type { Refusal, TrackSample } from '../../domain/recording.ts';
import { median } from '../../domain/statistics.ts';
import { judgedNumbers, type StatedNumbers } from '../recordedNumber.ts';
import { sighting, type FactSighting, type Reading } from '../sighting.ts';
import type { TelemetryContext } from '../telemetryPairs.ts';
import { gpmdStreams, numbersUnder, streamWith } from './gpmdItems.ts';
import { firstMoment, gpmdFixes, type GpmdFix, type GpmdFixes, type Moment } from './gpmdPositions.ts';
import type { TimedBytes } from './timedBytes.ts';
import { keepRefusals, trackReading } from './trackReading.ts';

// What is used of telemetry by four-character keys, mostly one payload for each second of the clip:
//   SHUT  exposure time in seconds, as a rule one for each frame
//   ISOE  sensitivity; in older files ISOG, the sensor's gain, of which 100 times is the sensitivity
//   WBAL  white balance in kelvin
//   GPS5, GPS9 or GLPI with what goes with them: see gpmdPositions.ts
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

/** Reads the payloads of one track. */
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
    const stated: StatedNumbers = {
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
