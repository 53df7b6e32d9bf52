import { writeFile } from 'node:fs/promises';
import { f32, f64, i16, i64, latin1, u16, u32, utf8 } from './bytes.ts';
import { CLIP_SECONDS, frameSteps, exposureOf, halfSeconds, testClipBytes, type Step } from './baseClip.ts';
import { box } from './isoBoxes.ts';
import { keyName, withMetadataTrack } from './metadataTrack.ts';
import type { CarrierMaker } from './truth.ts';

// QuickTime timed metadata: the sample entry `mebx` declares each key (`keys` / local id / `keyd`, `dtyp`), a sample
// is a row of boxes whose type is the local id. Well-known types: 1 UTF-8, 23 float32, 24 float64, 66 int16,
// 74 int64, 76 uint16, 77 uint32. (QuickTime File Format Specification, Timed Metadata Media.)

interface Key {
  readonly name: string;
  readonly type: number;
  readonly value: (step: Step) => Buffer;
}

const NUMBERS: readonly Key[] = [
  { name: 'org.aeroform.camera.exposure-time', type: 24, value: (step) => f64(step.exposureSeconds) },
  { name: 'org.aeroform.camera.iso', type: 77, value: (step) => u32(step.iso) },
  { name: 'org.aeroform.camera.f-number', type: 23, value: (step) => f32(step.fNumber) },
  { name: 'org.aeroform.camera.white-balance-kelvin', type: 76, value: () => u16(5600) },
  { name: 'org.aeroform.gimbal.pitch', type: 66, value: () => i16(-30) },
];

const WORDS: readonly Key[] = [
  { name: 'org.aeroform.camera.shutter-speed', type: 1, value: (step) => utf8(`1/${step.denominator}`) },
  { name: 'org.aeroform.camera.iso-speed', type: 76, value: (step) => u16(step.iso) },
  { name: 'org.aeroform.camera.aperture', type: 1, value: (step) => utf8(`f/${step.fNumber}`) },
];

const NANOSECONDS: readonly Key[] = [
  {
    name: 'org.aeroform.camera.exposure-time-nanoseconds',
    type: 74,
    value: (step) => i64(BigInt(1e9 / step.denominator)),
  },
  { name: 'org.aeroform.camera.photographic-sensitivity', type: 66, value: (step) => i16(step.iso) },
];

function keyTable(keys: readonly Key[]): Buffer {
  const declarations = keys.map(({ name, type }, index) =>
    box(localId(index), box('keyd', keyName(name)), box('dtyp', u32(0), u32(type))),
  );
  return box('keys', ...declarations);
}

function localId(index: number): string {
  return latin1('\0\0\0').toString('latin1') + String.fromCharCode(index + 1);
}

function sampleBytes(keys: readonly Key[], step: Step): Buffer {
  return Buffer.concat(keys.map(({ value }, index) => box(localId(index), value(step))));
}

function mebxClip(file: string, what: string, keys: readonly Key[], steps: readonly Step[]): CarrierMaker {
  return {
    file,
    make: async (path, ffmpeg) => {
      const samples = steps.map((step) => ({
        startSeconds: step.startSeconds,
        bytes: sampleBytes(keys, step),
      }));
      const track = {
        entryType: 'mebx',
        entryBoxes: [keyTable(keys)],
        ticksPerSecond: 600,
        endSeconds: CLIP_SECONDS,
      };
      await writeFile(path, withMetadataTrack(await testClipBytes(ffmpeg, path), { ...track, samples }));
      const truths = steps
        .map(exposureOf)
        .map(({ fNumber, ...sample }) =>
          keys === NANOSECONDS || fNumber === undefined ? sample : { ...sample, fNumber },
        );
      return { carrier: 'mebx', what, frames: frameSteps.length, clip: {}, samples: truths };
    },
  };
}

export const mebxClips: readonly CarrierMaker[] = [
  mebxClip(
    'MEBX0001.MOV',
    'timed metadata of numbers: float64 s, uint32 ISO, float32 f-number',
    NUMBERS,
    frameSteps,
  ),
  mebxClip(
    'MEBX0002.MOV',
    'timed metadata of words: "1/200", "f/2.8"; one sample each half second',
    WORDS,
    halfSeconds,
  ),
  mebxClip(
    'MEBX0003.MOV',
    'timed metadata of whole nanoseconds (int64) and int16 ISO',
    NANOSECONDS,
    frameSteps,
  ),
];
