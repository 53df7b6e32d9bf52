import { readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import sharp from 'sharp';
import { describe, expect, test } from 'vitest';
import type { Measurement } from '../../src/domain/measurement.ts';
import type { FactValues } from '../../src/domain/recording.ts';
import { measureClip } from '../../src/measuring/measureClip.ts';
import { measureStill } from '../../src/measuring/measureStill.ts';
import { openMedia } from '../../src/programs/openMedia.ts';
import { exposed, factsOf, ffmpegs, runFfmpeg, temporaryFolder } from './encodeClip.ts';

const programs = await ffmpegs();

interface Shape {
  readonly width: number;
  readonly height: number;
}

async function measure(file: string, facts: Shape & Partial<FactValues>): Promise<Measurement> {
  const media = await openMedia(file);
  try {
    return await measureClip({
      program: programs[0]!,
      media,
      facts: factsOf({
        ...exposed,
        bitDepth: 8,
        range: 'narrow',
        playbackFrameRate: { numerator: 25, denominator: 1 },
        ...facts,
      }),
      mode: 'every',
      clippedFlagFraction: 0.01,
    });
  } finally {
    await media.close();
  }
}

/** Grey, with a white part over the left of it: luma 235 from 16 to 235 is white (BT.709-6, item 4.6). */
const partWhite = (share: number): string => `geq=lum='if(lt(X,W*${share}),235,106)':cb=128:cr=128`;

interface Made extends Shape {
  readonly seconds: number;
  readonly share: number;
  readonly pixelFormat?: string;
}

/** One H.264 stream in an MPEG transport stream, which carries its size and format with every key frame. */
function stream(folder: string, name: string, { width, height, seconds, share, pixelFormat }: Made): string {
  const file = path.join(folder, `${name}.ts`);
  const grey = `color=gray:s=${width}x${height}:r=25:d=${seconds},format=yuv420p,${partWhite(share)}`;
  const codec = ['-c:v', 'libx264', '-preset', 'ultrafast', '-qp', '4', '-g', '25', '-bf', '0'];
  runFfmpeg('-f', 'lavfi', '-i', grey, ...codec, '-pix_fmt', pixelFormat ?? 'yuv420p', file);
  return file;
}

describe.skipIf(programs.length === 0)('clips that change or break', () => {
  test.each([
    ['size', { width: 320, height: 180 }],
    ['shape', { width: 240, height: 320 }],
    ['pixel format', { width: 640, height: 360, pixelFormat: 'yuv444p' }],
  ] as const)('a %s that changes half way does not shift the picture', async (_, second) => {
    const folder = temporaryFolder();
    const joined = path.join(folder, 'joined.ts');
    const whole = { width: 640, height: 360 };
    const files = [
      stream(folder, 'a', { ...whole, seconds: 2, share: 0.25 }),
      stream(folder, 'b', { ...second, seconds: 2, share: 0.5 }),
    ];
    runFfmpeg('-i', `concat:${files.join('|')}`, '-c', 'copy', joined);
    const { frames, endedEarly } = await measure(joined, { ...whole, durationSeconds: 4 });
    expect(endedEarly).toBeUndefined();
    const shares = frames.map(({ clippedFraction }) => clippedFraction);
    // A quarter before, a half after; at the edge scaling blends a few of the columns.
    for (const share of shares)
      expect(Math.min(Math.abs(share - 0.25), Math.abs(share - 0.5))).toBeLessThan(0.01);
    expect(Math.min(...shares)).toBeLessThan(0.3);
    expect(Math.max(...shares)).toBeGreaterThan(0.45);
  });

  test('a clip whose second half is noise keeps the first and says until when', async () => {
    const folder = temporaryFolder();
    const file = path.join(folder, 'half.mp4');
    const source = `color=gray:s=320x180:r=25:d=4,format=yuv420p,${partWhite(0.25)},noise=alls=6:allf=t`;
    runFfmpeg('-f', 'lavfi', '-i', source, '-c:v', 'libx264', '-g', '25', '-movflags', '+faststart', file);
    const bytes = readFileSync(file);
    const start = bytes.indexOf('mdat');
    for (let at = start + ((bytes.length - start) >> 1); at < bytes.length; at++)
      bytes[at] = (at * 7919) & 0xff;
    writeFileSync(file, bytes);
    const found = await measure(file, { width: 320, height: 180, durationSeconds: 4 });
    expect(found.endedEarly!.atSeconds).toBeGreaterThan(1);
    expect(found.endedEarly!.atSeconds).toBeLessThan(3);
    expect(found.endedEarly!.reason).not.toBe('');
    expect(Math.abs(found.clippedFraction.median - 0.25)).toBeLessThan(0.03);
  });

  test('a clip without a single picture names what stopped ffmpeg, not that it stopped', async () => {
    const file = path.join(temporaryFolder(), 'none.mp4');
    const source = 'color=gray:s=320x180:r=25:d=4';
    runFfmpeg('-f', 'lavfi', '-i', source, '-c:v', 'libx264', '-movflags', '+faststart', file);
    const bytes = readFileSync(file);
    bytes.fill(0, bytes.indexOf('mdat') + 4);
    writeFileSync(file, bytes);
    const refused = measure(file, { width: 320, height: 180, durationSeconds: 4 });
    await expect(refused).rejects.toMatchObject({
      message: 'Not one picture could be decoded',
      detail: expect.stringMatching(/^ffmpeg: (?!Conversion|Error mark)./) as string,
    });
  });
});

describe.skipIf(programs.length === 0)('clips of odd sizes', () => {
  // 3 by 5: two of its three columns are white. 16384 by 64: a quarter.
  test.each([
    ['ffv1 of one pixel', { width: 1, height: 1 }, ['-c:v', 'ffv1'], 'mkv', 'white', 1],
    ['ffv1 of 3 by 5', { width: 3, height: 5 }, ['-c:v', 'ffv1'], 'mkv', 'part', 2 / 3],
    ['ffv1 of 16384 by 64', { width: 16384, height: 64 }, ['-c:v', 'ffv1'], 'mkv', 'part', 0.25],
    [
      'Motion JPEG of 16384 by 64',
      { width: 16384, height: 64 },
      ['-c:v', 'mjpeg', '-q:v', '1'],
      'mov',
      'part',
      0.25,
    ],
    ['all white', { width: 320, height: 180 }, ['-c:v', 'ffv1'], 'mkv', 'white', 1],
    ['all black', { width: 320, height: 180 }, ['-c:v', 'ffv1'], 'mkv', 'black', 0],
  ] as const)('%s', async (_, { width, height }, codec, extension, kind, share) => {
    const file = path.join(temporaryFolder(), `clip.${extension}`);
    const raw = path.join(path.dirname(file), 'clip.yuv');
    writeFileSync(raw, Buffer.concat(Array.from({ length: 25 }, () => planes(width, height, kind, share))));
    const input = [
      '-f',
      'rawvideo',
      '-pix_fmt',
      'yuv420p',
      '-s',
      `${width}x${height}`,
      '-r',
      '25',
      '-i',
      raw,
    ];
    // Motion JPEG in narrow range is unofficial, hence `strict`.
    runFfmpeg(...input, '-color_range', 'tv', '-strict', '-2', ...codec, file);
    const found = await measure(file, { width, height, transfer: 'bt709', durationSeconds: 1 });
    expect(Math.abs(found.clippedFraction.median - share)).toBeLessThan(0.002);
    expect(found.crushedFraction.median).toBe(kind === 'black' ? 1 : 0);
    if (kind !== 'black') expect(Number.isFinite(found.levelStops!.median)).toBe(true);
  });
});

/** One frame of 4:2:0; `share` of its columns is white. */
function planes(width: number, height: number, kind: 'white' | 'black' | 'part', share: number): Buffer {
  const chroma = 2 * Math.ceil(width / 2) * Math.ceil(height / 2);
  const frame = Buffer.alloc(width * height + chroma, 128);
  frame.fill(kind === 'black' ? 16 : 106, 0, width * height);
  const white = Math.round((kind === 'black' ? 0 : share) * width);
  for (let y = 0; y < height; y++) frame.fill(235, y * width, y * width + white);
  return frame;
}

describe('stills of odd sizes and kinds', () => {
  const still = async (file: Buffer): Promise<Measurement> => {
    const at = path.join(temporaryFolder(), 'still');
    writeFileSync(at, file);
    const media = await openMedia(at);
    try {
      return await measureStill(media, factsOf(exposed));
    } finally {
      await media.close();
    }
  };

  test.each([
    ['3 by 5', 3, 5, 2],
    ['16384 by 64', 16384, 64, 4096],
    ['64 by 16384', 64, 16384, 16],
  ])('%s', async (_, width, height, white) => {
    const pixels = Buffer.alloc(width * height * 3, 118);
    for (let y = 0; y < height; y++) pixels.fill(255, y * width * 3, (y * width + white) * 3);
    const png = await sharp(pixels, { raw: { width, height, channels: 3 } })
      .png()
      .toBuffer();
    expect((await still(png)).clippedFraction.max).toBeCloseTo(white / width, 9);
  });

  test('a spot of nine pixels in 48 megapixels is found: nothing is averaged', async () => {
    const [width, height] = [8064, 6048];
    const pixels = Buffer.alloc(width * height * 3, 118);
    for (let y = 3000; y < 3003; y++) pixels.fill(255, (y * width + 4000) * 3, (y * width + 4003) * 3);
    const png = await sharp(pixels, { raw: { width, height, channels: 3 } })
      .png({ compressionLevel: 1 })
      .toBuffer();
    const { clippedFraction } = await still(png);
    expect(clippedFraction.max).toBeCloseTo(9 / (width * height), 15);
  });

  test('transparent and half-transparent pixels count by their colour', async () => {
    const pixels = Buffer.alloc(100 * 4, 0);
    for (let i = 0; i < 100; i++) pixels.set(i < 30 ? [255, 255, 255, 90] : [118, 118, 118, 0], 4 * i);
    const png = await sharp(pixels, { raw: { width: 10, height: 10, channels: 4 } })
      .png()
      .toBuffer();
    const found = await still(png);
    expect(found.clippedFraction.max).toBe(0.3);
    // White is 1 where grey is 0.18 (code 118 of sRGB, IEC 61966-2-1).
    expect(found.levelStops!.median).toBeCloseTo(Math.log2((0.3 + 0.7 * 0.18) / 0.18), 1);
  });
});
