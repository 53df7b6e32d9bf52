import path from 'node:path';
import { describe, expect, test } from 'vitest';
import { decodeFrames, planTimes, type FramesEnd } from '../../../src/measuring/decoding/decodeFrames.ts';
import type { Frame } from '../../../src/measuring/decoding/frame.ts';
import { openMedia } from '../../../src/programs/openMedia.ts';
import {
  blankFrame,
  encodeClip,
  ffmpegs,
  losslessH264,
  runFfmpeg,
  temporaryFolder,
  type RawFrame,
  type RawShape,
} from '../encodeClip.ts';

const programs = await ffmpegs();

interface Seen {
  readonly atSeconds: number;
  readonly lumaShrunkBy?: number;
  readonly luma: readonly number[];
  readonly cb: readonly number[];
  readonly cr: readonly number[];
}

async function decodeAll(
  file: string,
  request: Omit<Parameters<typeof decodeFrames>[0], 'media' | 'wallMs'>,
): Promise<{ readonly seen: Seen[]; readonly end: FramesEnd }> {
  const media = await openMedia(file);
  const seen: Seen[] = [];
  const keep = ({ atSeconds, lumaShrunkBy, luma, cb, cr }: Frame): void => {
    seen.push({ atSeconds, lumaShrunkBy, luma: [...luma], cb: [...cb], cr: [...cr] });
  };
  try {
    const frames = decodeFrames({ ...request, media, wallMs: 30_000 });
    for (;;) {
      const next = await frames.next();
      if (next.done === true) return { seen, end: next.value };
      keep(next.value);
    }
  } finally {
    await media.close();
  }
}

/** Every code of the depth in luma, and a run of codes in both chroma planes. */
function codeRamp(shape: RawShape): RawFrame {
  const frame = blankFrame(shape, 0);
  for (let i = 0; i < frame.length; i++) frame[i] = (i * 7) % 2 ** shape.bitDepth;
  return frame;
}

describe.each(programs)('with ffmpeg $version ($origin)', (program) => {
  for (const bitDepth of [8, 10] as const)
    for (const range of ['tv', 'pc'] as const)
      for (const codec of ['ffv1', 'h264'] as const)
        test(`decodeFrames() gives codes as they were stored: ${bitDepth} bits, ${range} range, ${codec}`, async () => {
          const shape = { width: 64, height: 48, bitDepth };
          const stored = codeRamp(shape);
          const file = await encodeClip(shape, [stored, stored], {
            range,
            ...(codec === 'h264' ? { codec: losslessH264, extension: 'mp4' } : {}),
          });
          const { seen } = await decodeAll(file, { program, geometry: shape });
          expect(seen.map(({ luma, cb, cr }) => [...luma, ...cb, ...cr])).toEqual([[...stored], [...stored]]);
        });

  test('decodeFrames() gives odd sizes whole, down to one pixel', async () => {
    for (const [width, height] of [
      [1, 1],
      [7, 5],
      [33, 2],
    ] as const) {
      const shape = { width, height, bitDepth: 8 } as const;
      const stored = codeRamp(shape);
      const file = await encodeClip(shape, [stored]);
      const { seen } = await decodeAll(file, { program, geometry: shape });
      expect(seen.map(({ luma, cb, cr }) => [...luma, ...cb, ...cr])).toEqual([[...stored]]);
    }
  });

  for (const bitDepth of [8, 10] as const)
    test(`decodeFrames() gives two frames once more as luma, beside one with colour and few rows: ${bitDepth} bits`, async () => {
      const shape = { width: 64, height: 48, bitDepth };
      const stored = [0, 1, 2].map((shift) => codeRamp(shape).map((code) => (code + shift) % 2 ** bitDepth));
      const file = await encodeClip(shape, stored);
      const request = { program, geometry: shape, select: 'gte(t,0)', maxFrames: 1, rowStep: 2 };
      const { seen } = await decodeAll(file, {
        ...request,
        pairs: { shrunkBy: 1, select: 'gte(t,0)', maxFrames: 2 },
      });
      seen.sort((a, b) => (a.lumaShrunkBy ?? 0) - (b.lumaShrunkBy ?? 0));
      const luma = stored.map((codes) => [...codes.subarray(0, 64 * 48)]);
      const everySecondRow = luma[0]!.filter((_, i) => Math.floor(i / 64) % 2 === 0);
      expect(seen.map((frame) => frame.luma)).toEqual([everySecondRow, luma[0], luma[1]]);
      expect(seen.map((frame) => frame.cb.length)).toEqual([32 * 12, 0, 0]);
      expect(seen[2]!.atSeconds).toBeGreaterThan(seen[1]!.atSeconds);
      const halved = await decodeAll(file, {
        ...request,
        pairs: { shrunkBy: 2, select: 'gte(t,0)', maxFrames: 2 },
      });
      halved.seen.sort((a, b) => (a.lumaShrunkBy ?? 0) - (b.lumaShrunkBy ?? 0));
      expect(halved.seen.map((frame) => frame.luma.length)).toEqual([64 * 24, 32 * 24, 32 * 24]);
      const corner = [0, 1, 64, 65].reduce((sum, at) => sum + luma[0]![at]! / 4, 0);
      expect(Math.abs(halved.seen[1]!.luma[0]! - corner)).toBeLessThan(1);
    });

  test('decodeFrames() keeps luma codes of 4:2:2 pictures', async () => {
    const shape = { width: 64, height: 48, bitDepth: 10 } as const;
    const stored = codeRamp(shape);
    const file = await encodeClip(shape, [stored]);
    const wider = path.join(temporaryFolder(), 'wider.mkv');
    runFfmpeg('-i', file, '-c:v', 'ffv1', '-pix_fmt', 'yuv422p10le', wider);
    const { seen } = await decodeAll(wider, { program, geometry: shape });
    expect(seen[0]!.luma).toEqual([...stored.subarray(0, 64 * 48)]);
  });

  test('decodeFrames() says when each frame is shown, also where the rate varies', async () => {
    const shape = { width: 32, height: 32, bitDepth: 8 } as const;
    const frames = Array.from({ length: 12 }, (_, i) => blankFrame(shape, 40 + i));
    const even = await encodeClip(shape, frames, { codec: losslessH264, extension: 'mp4' });
    const uneven = path.join(temporaryFolder(), 'uneven.mkv');
    runFfmpeg(
      '-i',
      even,
      '-vf',
      "setpts='(N*N)*0.04/TB'",
      '-vsync',
      'passthrough',
      '-c:v',
      'libx264',
      '-qp',
      '0',
      '-bf',
      '2',
      uneven,
    );
    const { seen } = await decodeAll(uneven, { program, geometry: shape });
    expect(seen.map(({ luma }) => luma[0])).toEqual(frames.map((frame) => frame[0]));
    seen.forEach(({ atSeconds }, i) => expect(atSeconds).toBeCloseTo(i * i * 0.04, 4));
  });

  test('decodeFrames() after a seek counts from the first frame of the clip', async () => {
    const shape = { width: 32, height: 32, bitDepth: 8 } as const;
    const frames = Array.from({ length: 100 }, (_, i) => blankFrame(shape, 20 + 2 * i));
    const codec = [...losslessH264, '-g', '10'];
    const file = await encodeClip(shape, frames, { codec, extension: 'mp4' });
    for (const unprobed of [true, false]) {
      const { seen, end } = await decodeAll(file, {
        program,
        geometry: shape,
        unprobed,
        startSeconds: 2.1,
        select: 'gte(t,-0.06)',
        maxFrames: 2,
      });
      // The frames at 2.04 s and the one after it: those from 2.1 s - 0.06 s on.
      expect(seen.map(({ luma }) => luma[0])).toEqual([20 + 2 * 51, 20 + 2 * 52]);
      seen.forEach(({ atSeconds }, i) => expect(atSeconds).toBeCloseTo(2.04 + i * 0.04, 4));
      expect(end.framesDecoded).toBeLessThan(30);
    }
    // Matroska counts in thousandths: a jump to 24.9875 ms moves times by 25, and the first frame before the start.
    const inThousandths = await encodeClip(shape, frames, { codec, extension: 'mkv' });
    const jump = { program, geometry: shape, startSeconds: 0.0249875, select: 'gte(t,-0.06)', maxFrames: 1 };
    const [first] = (await decodeAll(inThousandths, jump)).seen;
    expect(first?.atSeconds).toBeGreaterThanOrEqual(0);
    expect(first?.atSeconds).toBeCloseTo(0, 4);
  });
});

test('both the ffmpeg of the system and the packaged one were tried, where they are there', () => {
  expect(programs.length).toBeGreaterThan(0);
});

// What two versions of ffmpeg print of one file that holds no picture that can be decoded.
const printed = {
  '5.1':
    'Cannot determine format of input stream 0:0 after EOF\nError marking filters as finished\nConversion failed!\n',
  '7.1': `Cannot determine format of input 0:0 after EOF
[vf#0:0 @ 0x555565a4f380] Task finished with error code: -1094995529 (Invalid data found when processing input)
[vf#0:0 @ 0x555565a4f380] Terminating thread with return code -1094995529 (Invalid data found when processing input)
[vost#0:0/rawvideo @ 0x555565a4d840] Could not open encoder before EOF
[vost#0:0/rawvideo @ 0x555565a4d840] Task finished with error code: -22 (Invalid argument)
[vost#0:0/rawvideo @ 0x555565a4d840] Terminating thread with return code -22 (Invalid argument)
[out#0/rawvideo @ 0x555565a4d480] Nothing was written into output file, because at least one of its streams received no packets.
`,
};

test.each(Object.entries(printed))('ffmpeg %s: the complaint is what went wrong first', (_, text) => {
  const times = planTimes((ticks) => ticks / 1_000_000, 'decoded');
  // In pieces, as it comes through a pipe.
  for (let at = 0; at < text.length; at += 50) times.read(Buffer.from(text.slice(at, at + 50)));
  times.read(undefined);
  expect(times.tally().complaint).toMatch(/^Cannot determine format of input/);
});
