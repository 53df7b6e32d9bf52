import { copyFileSync, readFileSync, statSync, truncateSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, test } from 'vitest';
import { bytesSource } from '../../../src/containers/byteSource.ts';
import { mp4Pictures } from '../../../src/containers/mp4Pictures.ts';
import { feedPictures } from '../../../src/measuring/decoding/feeding.ts';
import type { Look } from '../../../src/measuring/decoding/look.ts';
import { openMedia } from '../../../src/programs/openMedia.ts';
import type { Program } from '../../../src/programs/run.ts';
import { everything } from '../../everything.ts';
import { blankFrame, encodeClip, ffmpegs, runFfmpeg, temporaryFolder, type RawShape } from '../encodeClip.ts';

const programs = await ffmpegs();

/** Frames whose grey says their number: 20, 22, 24, … */
function numbered(shape: RawShape, count: number) {
  const scale = shape.bitDepth === 10 ? 4 : 1;
  return Array.from({ length: count }, (_, i) => blankFrame(shape, scale * (20 + 2 * i)));
}

interface Seen {
  readonly atSeconds: number;
  /** By its grey. */
  readonly number: number;
  readonly what: string;
}

async function lookAt(file: string, program: Program, ...looks: readonly Look[]) {
  const media = await openMedia(file);
  const table = mp4Pictures(bytesSource(readFileSync(file)));
  if (table === undefined) throw new Error('no plain table');
  const geometry = { width: 64, height: 48, bitDepth: /10/.test(path.basename(file)) ? 10 : 8 } as const;
  const reader = feedPictures({ program, media, geometry, framesPerSecond: 25 }, table);
  const scale = geometry.bitDepth === 10 ? 4 : 1;
  const seen: Seen[][] = [];
  let endedEarly;
  try {
    for (const look of looks) {
      const pictures = reader.look(look);
      const each: Seen[] = [];
      for (;;) {
        const next = await pictures.next();
        if (next.done === true) {
          endedEarly = next.value;
          break;
        }
        const { frame, isSample, opensPair, closesPair, run } = next.value;
        const purposes = { isSample, opensPair, closesPair, run: run !== undefined };
        const what = Object.entries(purposes).flatMap(([name, is]) => (is ? name : []));
        const number = Math.round((frame.luma[100]! / scale - 20) / 2);
        each.push({ atSeconds: Math.round(frame.atSeconds * 1e6) / 1e6, number, what: what.join(' ') });
      }
      seen.push(each);
    }
    return { seen, endedEarly, table, reader };
  } finally {
    await media.close();
  }
}

const plan = { stepSeconds: 1, steps: 4, stepsPerPair: 4 };
const x265 = (more: string) => [
  '-c:v',
  'libx265',
  '-x265-params',
  `log-level=error:lossless=1:scenecut=0:keyint=10:min-keyint=10:${more}`,
];

test('a moment gives frames that follow each other, each but the last opening a pair', async () => {
  const size = { width: 64, height: 48, bitDepth: 8 } as const;
  const codec = ['-c:v', 'libx264', '-qp', '0', '-bf', '3', '-g', '10'];
  const file = await encodeClip(size, numbered(size, 40), { codec, extension: 'mp4' });
  const moments = [{ atSeconds: 0.8, pairs: 3 }];
  const { seen } = await lookAt(file, programs[0]!, { moments, pairShrunkBy: 1 });
  expect(seen[0]!.map(({ number, what }) => `${number} ${what}`)).toEqual([
    '20 opensPair',
    '21 opensPair closesPair',
    '22 opensPair closesPair',
    '23 closesPair',
  ]);
});

// A file of a stranger, damaged: its table showed several pictures at once.
test('a picture that is shown with one that was asked for is not taken for it', async () => {
  const size = { width: 64, height: 48, bitDepth: 8 } as const;
  const codec = ['-c:v', 'libx264', '-qp', '0', '-bf', '0', '-g', '10'];
  const file = await encodeClip(size, numbered(size, 40), { codec, extension: 'mp4' });
  const table = mp4Pictures(bytesSource(readFileSync(file)))!;
  const shownSeconds = table.shownSeconds.map((seconds, at) =>
    at === 11 ? table.shownSeconds[10]! : seconds,
  );
  const media = await openMedia(file);
  const reader = feedPictures(
    { program: programs[0]!, media, geometry: size, framesPerSecond: 25 },
    { ...table, shownSeconds },
  );
  const run = { startSeconds: 0.4, endSeconds: 0.6, everySeconds: 0.08, mostFrames: 24 };
  const pictures = reader.look({ plan: { stepSeconds: 0.4, steps: 4, stepsPerPair: 4 }, runs: [run] });
  const numbers: number[] = [];
  for (let next = await pictures.next(); next.done !== true; next = await pictures.next())
    numbers.push(Math.round((next.value.frame.luma[100]! - 20) / 2));
  await media.close();
  expect(numbers).toEqual([0, 10, 12, 14, 20, 30]);
});

const shapes: readonly (readonly [string, readonly string[], string, 8 | 10])[] = [
  [
    'H.264 with frames out of order',
    ['-c:v', 'libx264', '-qp', '0', '-bf', '3', '-sc_threshold', '0'],
    'mp4',
    8,
  ],
  ['HEVC in closed groups', x265('no-open-gop=1'), 'mov', 8],
  ['HEVC in open groups', [...x265('open-gop=1'), '-tag:v', 'hvc1'], 'mp4', 8],
  ['HEVC of 10 bits', [...x265('open-gop=1'), '-tag:v', 'hvc1'], 'mp4', 10],
  ['MPEG-4', ['-c:v', 'mpeg4', '-q:v', '1', '-bf', '0'], 'mp4', 8],
  ['ProRes', ['-c:v', 'prores_ks', '-profile:v', '3', '-pix_fmt', 'yuv422p10le'], 'mov', 10],
];

describe.each(everything ? programs : programs.slice(0, 1))('with ffmpeg $version ($origin)', (program) => {
  test.each(shapes)(
    'a look gives the pictures that it asks for, by their exact times: %s',
    async (...shape) => {
      const [, codec, extension, bitDepth] = shape;
      const size = { width: 64, height: 48, bitDepth } as const;
      const made = await encodeClip(size, numbered(size, 100), { codec: [...codec, '-g', '10'], extension });
      const file = path.join(temporaryFolder(), `numbered${bitDepth === 10 ? '10' : ''}.${extension}`);
      copyFileSync(made, file);
      const look = { plan, pairShrunkBy: 1 };
      const run = { startSeconds: 1.3, endSeconds: 1.7, everySeconds: 0.1, mostFrames: 24 };
      const { seen, endedEarly } = await lookAt(file, program, look, { ...look, runs: [run] });
      expect(endedEarly).toBeUndefined();
      const isIntra = shape[0] === 'ProRes';
      // 25 frames/s and every tenth a key frame: of the steps from 1 and 3 s on, the first lies at 1.2 and 3.2 s.
      const samples = isIntra ? [0, 25, 50, 75] : [0, 30, 50, 80];
      const of = (what: string, looked = seen[0]!) =>
        looked.filter((each) => each.what === what).map(({ number }) => number);
      expect(of('isSample')).toEqual(samples);
      expect([of('opensPair'), of('closesPair')]).toEqual([[50], [51]]);
      // Nothing comes twice but what follows it.
      expect(of('isSample', seen[1])).toEqual([]);
      expect(of('run', seen[1])).toEqual([33, 36, 39, 42]);
      for (const { atSeconds, number } of seen.flat()) expect(atSeconds).toBeCloseTo(number / 25, 5);
    },
  );

  test('a step without a key frame has its first picture, unless only key frames are wanted', async () => {
    const size = { width: 64, height: 48, bitDepth: 8 } as const;
    const codec = ['-c:v', 'libx264', '-qp', '0', '-bf', '2', '-sc_threshold', '0', '-g', '60'];
    const file = await encodeClip(size, numbered(size, 100), { codec, extension: 'mp4' });
    const numbers = async (look: Look) =>
      (await lookAt(file, program, look)).seen[0]!.map(({ number }) => number);
    expect(await numbers({ plan })).toEqual([0, 25, 60, 75]);
    expect(await numbers({ plan, keysOnly: true })).toEqual([0, 60]);
    expect(await numbers({ plan, keysOnly: true, everyKey: true })).toEqual([0, 60]);
  });

  test('a run that is enough is left, and what comes after it is looked at', async () => {
    const size = { width: 64, height: 48, bitDepth: 8 } as const;
    const codec = ['-c:v', 'libx264', '-qp', '0', '-bf', '0', '-g', '100', '-tune', 'zerolatency'];
    const file = await encodeClip(size, numbered(size, 200).slice(0, 110), { codec, extension: 'mp4' });
    let isEnough = false;
    const run = {
      startSeconds: 0,
      endSeconds: 3.9,
      everySeconds: 0,
      mostFrames: 99,
      isEnough: () => isEnough,
    };
    isEnough = true;
    const { seen } = await lookAt(file, program, {
      stretches: [{ fromSeconds: 4, toSeconds: 4.2 }],
      runs: [run],
    });
    expect(seen[0]!.map(({ number }) => number)).toEqual([100]);
  });

  test('the edit list that a cut without coding anew leaves is minded', async () => {
    const size = { width: 64, height: 48, bitDepth: 8 } as const;
    const codec = ['-c:v', 'libx264', '-qp', '0', '-bf', '2', '-sc_threshold', '0', '-g', '10'];
    const file = await encodeClip(size, numbered(size, 100), { codec, extension: 'mp4' });
    const cut = path.join(temporaryFolder(), 'cut.mp4');
    runFfmpeg('-ss', '0.5', '-i', file, '-c', 'copy', '-t', '2', cut);
    const { seen } = await lookAt(cut, program, { plan: { stepSeconds: 0.5, steps: 4, stepsPerPair: 9 } });
    // From the 13th picture on; key frames at 20, 30, … of the clip before the cut.
    const [first, ...others] = seen[0]!;
    expect(first!.atSeconds).toBeLessThan(0.5);
    for (const { atSeconds, number } of others)
      expect(atSeconds - first!.atSeconds).toBeCloseTo((number - first!.number) / 25, 5);
    expect(seen[0]!.map(({ number }) => number)).toContain(40);
  });

  test('a key frame that does not decode costs itself', async () => {
    const size = { width: 64, height: 48, bitDepth: 8 } as const;
    const codec = ['-c:v', 'libx264', '-qp', '0', '-bf', '2', '-sc_threshold', '0', '-g', '10'];
    const file = await encodeClip(size, numbered(size, 100), { codec, extension: 'mp4' });
    const bytes = readFileSync(file);
    const { offsets, sizesBytes, shownSeconds } = mp4Pictures(bytesSource(bytes))!;
    const at = shownSeconds.findIndex((seconds) => Math.abs(seconds - 1.2) < 0.001);
    bytes.fill(0xff, offsets[at]! + 4, offsets[at]! + sizesBytes[at]!);
    writeFileSync(file, bytes);
    const { seen, endedEarly } = await lookAt(file, program, { plan });
    const numbers = seen[0]!.map(({ number }) => number);
    expect(numbers).toEqual(expect.arrayContaining([0, 50, 80]));
    expect(endedEarly).toBeUndefined();
  });

  test('of a file that ends too early what is there is looked at', async () => {
    const size = { width: 64, height: 48, bitDepth: 8 } as const;
    const codec = ['-c:v', 'libx264', '-qp', '0', '-bf', '2', '-sc_threshold', '0', '-g', '10'];
    const more = ['-movflags', '+faststart'];
    const file = await encodeClip(size, numbered(size, 100), {
      codec: [...codec, ...more],
      extension: 'mp4',
    });
    const { offsets, shownSeconds } = mp4Pictures(bytesSource(readFileSync(file)))!;
    const at = shownSeconds.findIndex((seconds) => Math.abs(seconds - 2.4) < 0.001);
    truncateSync(file, offsets[at]! + 5);
    expect(statSync(file).size).toBe(offsets[at]! + 5);
    const { seen, endedEarly } = await lookAt(file, program, { plan });
    expect(seen[0]!.map(({ number }) => number)).toEqual([0, 30, 50]);
    expect(endedEarly).toMatchObject({ reason: expect.stringMatching(/missing/) });
    expect(endedEarly!.atSeconds).toBeCloseTo(59 / 25, 3);
  });
});

test('a decoder that crashes, and a read that fails, may go otherwise another time', async () => {
  const size = { width: 64, height: 48, bitDepth: 8 } as const;
  const codec = ['-c:v', 'libx264', '-qp', '0', '-g', '10'];
  const file = await encodeClip(size, numbered(size, 50), { codec, extension: 'mp4' });
  const table = mp4Pictures(bytesSource(readFileSync(file)))!;
  const crashing = path.join(temporaryFolder(), 'ffmpeg');
  writeFileSync(crashing, '#!/bin/sh\nkill -SEGV $$\n', { mode: 0o755 });
  const transientAfter = async (program: Program, cut: boolean): Promise<boolean | undefined> => {
    const media = await openMedia(file);
    if (cut) truncateSync(file, 100);
    const clip = { program, media, geometry: size, framesPerSecond: 25 };
    const pictures = feedPictures(clip, table).look({ plan });
    while ((await pictures.next()).done !== true);
    await media.close();
    return media.transient;
  };
  const [program] = programs;
  expect(await transientAfter(program!, false)).toBeUndefined();
  expect(await transientAfter({ ...program!, path: crashing }, false)).toBe(true);
  expect(await transientAfter(program!, true)).toBe(true);
});

test('a look at key frames is quick where they are neither far apart for its steps nor for anyone', async () => {
  const size = { width: 64, height: 48, bitDepth: 8 } as const;
  const isQuick = async (keyInterval: number, stepSeconds: number) => {
    const codec = ['-c:v', 'libx264', '-qp', '0', '-sc_threshold', '0', '-g', String(keyInterval)];
    const file = await encodeClip(size, numbered(size, 100), { codec, extension: 'mp4' });
    const { reader } = await lookAt(file, programs[0]!, {});
    return reader.isQuick({ stepSeconds, steps: 4 / stepSeconds, stepsPerPair: 4 });
  };
  expect(await isQuick(10, 0.5)).toBe(true);
  expect(await isQuick(30, 0.5)).toBe(true);
  expect(await isQuick(60, 0.5)).toBe(false);
  expect(await isQuick(60, 2)).toBe(true);
});
