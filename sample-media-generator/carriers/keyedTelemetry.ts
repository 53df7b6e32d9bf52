import { writeFile } from 'node:fs/promises';
import { CLIP_SECONDS, PLACE, halfSeconds, testClipBytes } from './baseClip.ts';
import { f32, i32, latin1, u16, u32, u8 } from './bytes.ts';
import { withMetadataTrack, type TrackSampleBytes } from './metadataTrack.ts';
import type { CarrierMaker, ExposureSample } from './truth.ts';

// Telemetry by four-character keys, one payload for each second: key, type, size of a structure, how many of them
// (16 bits), the structures, filled up to four bytes; all big-endian. Type 0 holds other keys. (The published description.)

function item(key: string, type: string, structureBytes: number, body: Buffer): Buffer {
  const count = body.length / (structureBytes || 1);
  const fill = Buffer.alloc((4 - (body.length % 4)) % 4);
  const code = type === '' ? u8(0) : latin1(type);
  return Buffer.concat([latin1(key), code, u8(structureBytes), u16(count), body, fill]);
}

const nest = (key: string, ...items: readonly Buffer[]) => item(key, '', 1, Buffer.concat(items));
const text = (key: string, value: string) => item(key, 'c', value.length, latin1(value));
const list = (key: string, type: string, values: readonly Buffer[]) =>
  item(key, type, values[0]?.length ?? 0, Buffer.concat(values));

/** When the first frame of the invented clip was taken. */
const START = Date.UTC(2025, 4, 6, 7, 8, 9);
const FIXES_PER_SECOND = 5;
const SPEED = 6.25;
const KELVIN = 5600;

/** The second payload holds a value more than the clip has frames, as happens where clocks drift. */
const VALUES_IN_SECOND = [24, 25] as const;

/** Northwards by a step at each fix, in ten-millionths of a degree as they are stored. */
function fixAt(index: number) {
  return {
    latitude: Math.round(PLACE.latitude * 1e7) + 100 * index,
    longitude: Math.round(PLACE.longitude * 1e7),
    altitude: Math.round(PLACE.altitudeMetres * 1000),
  };
}

/** What holds for each value of a second, spread evenly over it. */
function samplesOf(second: number): readonly ExposureSample[] {
  const count = VALUES_IN_SECOND[second]!;
  return Array.from({ length: count }, (_, at) => {
    const middle = second + (at + 0.5) / count;
    const step = halfSeconds.find(({ endSeconds }) => middle < endSeconds)!;
    const fix = fixAt(Math.floor(middle * FIXES_PER_SECOND));
    return {
      startSeconds: second + at / count,
      endSeconds: second + (at + 1) / count,
      exposureSeconds: step.exposureSeconds,
      iso: step.iso,
      latitude: fix.latitude / 1e7,
      longitude: fix.longitude / 1e7,
      altitudeMetres: fix.altitude / 1000,
      groundSpeedMetresPerSecond: SPEED,
    };
  });
}

interface Form {
  readonly sensitivity: (samples: readonly ExposureSample[]) => Buffer;
  readonly positions: (second: number) => readonly Buffer[];
}

const fixesOf = (second: number) =>
  Array.from({ length: FIXES_PER_SECOND }, (_, at) => fixAt(second * FIXES_PER_SECOND + at));

const scale = (...values: readonly number[]) => list('SCAL', 'l', values.map(i32));

/** "250506070809.000": year, month, day and time, in UTC. */
function gpsText(second: number): string {
  return new Date(START + second * 1000).toISOString().slice(2, -1).replaceAll(/[-T:]/g, '');
}

const older: Form = {
  sensitivity: (samples) =>
    list(
      'ISOG',
      'f',
      samples.map(({ iso = 0 }) => f32(iso / 100)),
    ),
  positions: (second) => [
    list('GPSF', 'L', [u32(3)]),
    item('GPSU', 'U', 16, latin1(gpsText(second))),
    list('GPSP', 'S', [u16(211)]),
    scale(10_000_000, 10_000_000, 1000, 1000, 100),
    list(
      'GPS5',
      'l',
      fixesOf(second).map((fix) => Buffer.concat([...fiveNumbers(fix)].map(i32))),
    ),
  ],
};

function fiveNumbers({ latitude, longitude, altitude }: ReturnType<typeof fixAt>): readonly number[] {
  return [latitude, longitude, altitude, SPEED * 1000, SPEED * 100];
}

const DAY = 86_400_000;

const newer: Form = {
  sensitivity: (samples) =>
    list(
      'ISOE',
      'S',
      samples.map(({ iso = 0 }) => u16(iso)),
    ),
  positions: (second) => [
    text('TYPE', 'lllllllSS'),
    scale(10_000_000, 10_000_000, 1000, 1000, 100, 1, 1000, 100, 1),
    list(
      'GPS9',
      '?',
      fixesOf(second).map((fix, at) => {
        const since2000 = START + second * 1000 + (at * 1000) / FIXES_PER_SECOND - Date.UTC(2000, 0, 1);
        const [days, milliseconds] = [Math.floor(since2000 / DAY), since2000 % DAY];
        return Buffer.concat([...[...fiveNumbers(fix), days, milliseconds].map(i32), u16(211), u16(3)]);
      }),
    ),
  ],
};

function payload(second: number, { sensitivity, positions }: Form): Buffer {
  const samples = samplesOf(second);
  return nest(
    'DEVC',
    list('DVID', 'L', [u32(1)]),
    text('DVNM', 'Invented'),
    // Turning, which nothing here asks for, stands first, and is scaled by another number.
    nest(
      'STRM',
      scale(939),
      list(
        'GYRO',
        's',
        [u16(1), u16(2), u16(3)].map((each) => Buffer.concat([each, each, each])),
      ),
    ),
    nest(
      'STRM',
      list(
        'SHUT',
        'f',
        samples.map(({ exposureSeconds = 0 }) => f32(exposureSeconds)),
      ),
    ),
    nest('STRM', sensitivity(samples)),
    nest(
      'STRM',
      list(
        'WBAL',
        'S',
        samples.map(() => u16(KELVIN)),
      ),
    ),
    nest('STRM', ...positions(second)),
  );
}

function telemetryClip(file: string, what: string, form: Form): CarrierMaker {
  return {
    file,
    make: async (path, ffmpeg) => {
      const samples: readonly TrackSampleBytes[] = [0, 1].map((second) => ({
        startSeconds: second,
        bytes: payload(second, form),
      }));
      const track = { entryType: 'gpmd', entryBoxes: [], ticksPerSecond: 1000, endSeconds: CLIP_SECONDS };
      await writeFile(path, withMetadataTrack(await testClipBytes(ffmpeg, path), { ...track, samples }));
      return {
        carrier: 'keyed-telemetry',
        what,
        frames: 48,
        clip: { recordedAt: '2025-05-06T07:08:09Z' },
        samples: [...samplesOf(0), ...samplesOf(1)],
      };
    },
  };
}

export const keyedTelemetryClips: readonly CarrierMaker[] = [
  telemetryClip('TELE0001.MP4', 'telemetry by four-character keys: SHUT, ISOG, WBAL, GPS5 and GPSU', older),
  telemetryClip('TELE0002.MP4', 'telemetry by four-character keys: SHUT, ISOE, WBAL and GPS9', newer),
];
