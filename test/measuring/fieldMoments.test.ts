import { spawnSync } from 'node:child_process';
import { describe, expect, test } from 'vitest';
import { measureClip } from '../../src/measuring/measureClip.ts';
import { locatePrograms } from '../../src/programs/locate.ts';
import { openMedia } from '../../src/programs/openMedia.ts';
import { readClip } from '../../src/reading/clip.ts';
import { mergeReadings } from '../../src/reading/mergeReadings.ts';
import { programPath } from '../renderMedia.ts';
import { blankFrame, encodeClip, type RawFrame } from './encodeClip.ts';
import { renderLuma, waveTexture } from './texture.ts';

const programs = await locatePrograms();
const shape = { width: 256, height: 192, bitDepth: 8 } as const;
const texture = waveTexture(7, 20);
const frameCount = 12;

/** The scene at a field's time, counted from 0; 50 of them make a second. */
function sceneAt(field: number, pixelsPerField: number): RawFrame {
  const frame = blankFrame(shape, 0);
  const shift = { x: pixelsPerField * field, y: 0.4 * pixelsPerField * field };
  const luma = renderLuma(texture, { ...shape, shift });
  frame.set(luma.codes);
  return frame;
}

/** Even rows of one picture, odd rows of another. */
function woven(even: RawFrame, odd: RawFrame): RawFrame {
  const frame = even.slice();
  for (let y = 1; y < shape.height; y += 2)
    frame.set(odd.subarray(y * shape.width, (y + 1) * shape.width), y * shape.width);
  return frame;
}

type Order = 'upper field first' | 'lower field first' | 'of one moment';

/** A clip of 25 frames/s in H.264 coded as fields are, whose frames are woven as asked. */
async function madeClip(order: Order, pixelsPerField = 3): Promise<string> {
  const frames = Array.from({ length: frameCount }, (_, index) => {
    const [early, late] = [sceneAt(2 * index, pixelsPerField), sceneAt(2 * index + 1, pixelsPerField)];
    if (order === 'of one moment') return early;
    return order === 'upper field first' ? woven(early, late) : woven(late, early);
  });
  const first = order === 'lower field first' ? 'bff' : 'tff';
  const codec = ['-vf', `setfield=${first}`, '-c:v', 'libx264', '-crf', '18', '-flags', '+ilme+ildct'];
  return encodeClip(shape, frames, { codec: [...codec, '-x264opts', `${first}=1`], extension: 'mp4' });
}

async function examined(file: string, shutterTarget?: Parameters<typeof measureClip>[0]['shutterTarget']) {
  const media = await openMedia(file);
  try {
    const { facts } = mergeReadings((await readClip(media, programs)).readings);
    const measurement = await measureClip({
      program: programs.ffmpeg,
      media,
      facts,
      mode: 'sampled',
      clippedFlagFraction: 0.01,
      shutterTarget,
    });
    return { facts, measurement };
  } finally {
    await media.close();
  }
}

/** How many frames ffmpeg's own filter takes for what. */
function byIdet(file: string): Readonly<Record<'TFF' | 'BFF' | 'Progressive' | 'Undetermined', number>> {
  const { stderr } = spawnSync(
    programPath('ffmpeg'),
    ['-nostdin', '-i', file, '-vf', 'idet', '-f', 'null', '-'],
    {
      encoding: 'utf8',
    },
  );
  const line = /Multi frame detection:(.*)/.exec(stderr)?.[1] ?? '';
  const count = (name: string) => Number(new RegExp(`${name}: *(\\d+)`).exec(line)?.[1]);
  return {
    TFF: count('TFF'),
    BFF: count('BFF'),
    Progressive: count('Progressive'),
    Undetermined: count('Undetermined'),
  };
}

describe('a clip in fields', () => {
  test.each([
    ['upper field first', 'interlaced', 'TFF'],
    ['lower field first', 'interlaced', 'BFF'],
    ['of one moment', 'progressive-in-fields', 'Progressive'],
  ] as const)(
    '%s is %s, as ffmpeg finds too',
    async (order, scan, idet) => {
      const file = await madeClip(order);
      expect(byIdet(file)[idet]).toBeGreaterThan(0.8 * frameCount);
      const { facts, measurement } = await examined(file);
      // The stream says only that there are fields. 25 frames/s of 50 fields: 50/I and 25/PsF of BT.709-6.
      expect(facts.scan?.value).toBe('fields');
      expect(facts.frameRate?.value).toEqual({ numerator: 25, denominator: 1 });
      expect(facts.frameCount?.value).toBe(frameCount);
      expect(measurement.scan).toBe(scan);
      // 3 pixels across and 1.2 down a field, two fields a frame.
      expect(measurement.motionPixelsPerFrame?.median).toBeCloseTo(2 * Math.hypot(3, 1.2), 0);
    },
    30_000,
  );

  test('that stands still tells nothing, to ffmpeg either', async () => {
    const file = await madeClip('upper field first', 0);
    const idet = byIdet(file);
    expect(idet.TFF + idet.BFF).toBe(0);
    expect((await examined(file)).measurement.scan).toBeUndefined();
  }, 30_000);

  test('tells no shutter by its blur unless both fields are of one moment', async () => {
    const target = { targetAngleDegrees: 180, toleranceStops: 1 / 3 };
    const reasonIn = async (order: Order) =>
      (await examined(await madeClip(order), target)).measurement.shutter?.reason;
    expect(await reasonIn('upper field first')).toBe('interlaced');
    expect(await reasonIn('of one moment')).not.toBe('interlaced');
  }, 30_000);
});

test('a clip in frames is not looked at for fields', async () => {
  const frames = Array.from({ length: frameCount }, (_, index) => sceneAt(index, 3));
  const { facts, measurement } = await examined(
    await encodeClip(shape, frames, { codec: ['-c:v', 'libx264'], extension: 'mp4', framesPerSecond: 50 }),
  );
  expect(facts.scan).toBeUndefined();
  expect(facts.frameRate?.value).toEqual({ numerator: 50, denominator: 1 });
  expect(measurement.scan).toBeUndefined();
});
