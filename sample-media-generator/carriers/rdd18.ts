import { readFile, writeFile } from 'node:fs/promises';
import { runFfmpeg } from '../encode.ts';
import { EXACT, FRAMES_PER_SECOND, CLIP_SECONDS, frameSteps, type Step } from './baseClip.ts';
import { hex, i16, u16, u32 } from './bytes.ts';
import type { CarrierMaker, ExposureSample } from './truth.ts';

// SMPTE RDD 18 (acquisition metadata sets): a lens set and a camera set lie in the fill item in front of each
// picture, so that no length in the file changes.

const LENS_SET = hex('060E2B34.02530101.0C020101.01010000');
const CAMERA_SET = hex('060E2B34.02530101.0C020101.02010000');
const FILL = hex('060E2B34.01010102.03010210.01000000');
/** Any picture element; the bytes behind tell count, type and number (SMPTE ST 379). */
const PICTURE = hex('060E2B34.01020101.0D010301.15');

/** Which of the two shutter items the camera writes. */
type Shutter = 'angle' | 'time';

function item(tag: number, ...value: readonly Buffer[]): Buffer {
  const bytes = Buffer.concat(value);
  return Buffer.concat([u16(tag), u16(bytes.length), bytes]);
}

function klv(key: Buffer, value: Buffer): Buffer {
  return Buffer.concat([key, u32(0x83000000 + value.length), value]);
}

/** Iris as RDD 18 stores it: 2^(8(1 - v/65536)). */
function iris(fNumber: number): number {
  return Math.round(65536 * (1 - Math.log2(fNumber) / 8));
}

/** Shutter angle in sixtieths of a degree, as stored. */
function sixtieths({ denominator }: Step): number {
  return Math.round((360 * FRAMES_PER_SECOND * 60) / denominator);
}

const GAIN_DECIBELS = -3;
const WHITE_BALANCE_KELVIN = 5600;

function setsOf(step: Step, shutter: Shutter, wheelFactor: number): Buffer {
  const shutterItem =
    shutter === 'angle' ? item(0x8108, u32(sixtieths(step))) : item(0x8109, u32(1), u32(step.denominator));
  const camera = [
    item(0x8103, u16(wheelFactor)),
    item(0x8106, u32(FRAMES_PER_SECOND), u32(1)),
    shutterItem,
    item(0x810a, i16(GAIN_DECIBELS * 100)),
    item(0x810b, u16(step.iso)),
    item(0x810e, u16(WHITE_BALANCE_KELVIN)),
  ];
  return Buffer.concat([
    klv(LENS_SET, item(0x8000, u16(iris(step.fNumber)))),
    klv(CAMERA_SET, Buffer.concat(camera)),
  ]);
}

interface KlvPlace {
  readonly start: number;
  readonly valueStart: number;
  readonly end: number;
  readonly key: Buffer;
}

function klvPlaces(file: Buffer): readonly KlvPlace[] {
  const places: KlvPlace[] = [];
  for (let start = 0; start + 17 <= file.length;) {
    const first = file[start + 16] ?? 0;
    const lengthBytes = first < 0x80 ? 0 : first - 0x80;
    const valueStart = start + 17 + lengthBytes;
    const length = lengthBytes === 0 ? first : Number(`0x${file.toString('hex', start + 17, valueStart)}`);
    places.push({ start, valueStart, end: valueStart + length, key: file.subarray(start, start + 16) });
    start = valueStart + length;
  }
  return places;
}

/** Lays the sets over the fill in front of each picture and shortens the fill by as much. */
function layInFill(file: Buffer, setsOfFrame: (frame: number) => Buffer): number {
  const places = klvPlaces(file);
  let frame = 0;
  places.forEach((place, index) => {
    if (!place.key.subarray(0, PICTURE.length).equals(PICTURE)) return;
    const fill = places[index - 1];
    if (fill === undefined || !fill.key.equals(FILL))
      throw new Error(`no fill item in front of picture ${frame}`);
    const sets = setsOfFrame(frame);
    const rest = fill.end - fill.start - sets.length - 20;
    if (rest < 0) throw new Error(`the fill item of picture ${frame} must hold ${sets.length + 20} bytes`);
    sets.copy(file, fill.start);
    klv(FILL, Buffer.alloc(rest)).copy(file, fill.start + sets.length);
    frame++;
  });
  return frame;
}

function mxfClip(file: string, shutter: Shutter, wheelFactor: number): CarrierMaker {
  return {
    file,
    make: async (path, ffmpeg) => {
      const picture = `testsrc2=size=160x90:rate=${FRAMES_PER_SECOND}:duration=${CLIP_SECONDS}`;
      const encoding = ['-c:v', 'mpeg2video', '-bf', '0', '-pix_fmt', 'yuv420p', ...EXACT];
      await runFfmpeg(ffmpeg, ['-f', 'lavfi', '-i', picture, ...encoding, '-f', 'mxf', `file:${path}`]);
      const bytes = await readFile(path);
      const frames = layInFill(bytes, (frame) => setsOf(frameSteps[frame]!, shutter, wheelFactor));
      await writeFile(path, bytes);
      return {
        carrier: 'rdd18',
        what: `RDD 18 sets before each picture: shutter ${shutter}, ND wheel 1/${wheelFactor}`,
        frames,
        clip: {},
        samples: frameSteps.map((step) => mxfSample(step, shutter, wheelFactor)),
      };
    },
  };
}

function mxfSample(step: Step, shutter: Shutter, wheelFactor: number): ExposureSample {
  const { startSeconds, endSeconds, iso, fNumber } = step;
  const angle = sixtieths(step) / 60;
  const shutterFacts =
    shutter === 'angle'
      ? { shutterAngleDegrees: angle, exposureSeconds: angle / 360 / FRAMES_PER_SECOND }
      : { exposureSeconds: step.exposureSeconds };
  return {
    startSeconds,
    endSeconds,
    ...shutterFacts,
    iso,
    fNumber,
    captureFramesPerSecond: FRAMES_PER_SECOND,
    recordedFilterStops: Math.log2(wheelFactor),
    gainDecibels: GAIN_DECIBELS,
    whiteBalanceKelvin: WHITE_BALANCE_KELVIN,
  };
}

export const mxfClips: readonly CarrierMaker[] = [
  mxfClip('ACQM0001.MXF', 'angle', 8),
  mxfClip('ACQM0002.MXF', 'time', 1),
];
