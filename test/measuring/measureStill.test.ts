import { writeFileSync } from 'node:fs';
import path from 'node:path';
import sharp, { type Sharp } from 'sharp';
import { describe, expect, test } from 'vitest';
import { HalfturnError } from '../../src/domain/halfturnError.ts';
import type { Measurement } from '../../src/domain/measurement.ts';
import type { FactValues } from '../../src/domain/recording.ts';
import { measureStill } from '../../src/measuring/measureStill.ts';
import { openMedia } from '../../src/programs/openMedia.ts';
import { exposed, factsOf, temporaryFolder } from './encodeClip.ts';

const width = 200;
const height = 100;

/** Left of `x` white, then grey at 18% (code 118 of sRGB). */
function half(x: number, grey = 118): Buffer {
  const pixels = Buffer.alloc(width * height * 3, grey);
  for (let y = 0; y < height; y++) pixels.fill(255, y * width * 3, (y * width + x) * 3);
  return pixels;
}

function image(pixels: Buffer): Sharp {
  return sharp(pixels, { raw: { width, height, channels: 3 } });
}

async function measure(file: Buffer | string, facts: Partial<FactValues> = exposed): Promise<Measurement> {
  const at = typeof file === 'string' ? file : path.join(temporaryFolder(), 'still');
  if (typeof file !== 'string') writeFileSync(at, file);
  const media = await openMedia(at);
  try {
    return await measureStill(media, factsOf(facts));
  } finally {
    await media.close();
  }
}

describe('measureStill()', () => {
  test.each([
    ['PNG', () => image(half(50)).png()],
    ['JPEG', () => image(half(48)).jpeg({ quality: 95 })],
    ['lossless WebP', () => image(half(50)).webp({ lossless: true })],
    ['TIFF', () => image(half(50)).tiff({ compression: 'lzw' })],
    ['grey PNG', () => image(half(50)).toColourspace('b-w').png()],
    ['PNG with alpha', () => image(half(50)).ensureAlpha(0.5).png()],
    ['CMYK JPEG', () => image(half(48)).toColourspace('cmyk').jpeg({ quality: 95 })],
  ])('a quarter of a %s that is white is clipped', async (name, make) => {
    const found = await measure(await make().toBuffer());
    expect(found.framesMeasured).toBe(1);
    expect(Math.abs(found.clippedFraction.max - (name.includes('JPEG') ? 0.24 : 0.25))).toBeLessThan(0.006);
    expect(found.clippedShape).toBe('area');
    expect(found.crushedFraction.max).toBe(0);
    const { upper, middle, lower } = found.clippedThirds!;
    for (const third of [upper, middle, lower]) expect(Math.abs(third - 0.25 / 3)).toBeLessThan(0.01);
    expect(found.headroomStops).toBe(0);
    expect(found.samplingStepSeconds).toBeUndefined();
    expect(found.endedEarly).toBeUndefined();
  });

  test('inside of black bars shares and level are those of the picture', async () => {
    // A fifth of the rows at each side; of the rest a quarter is white and three quarters are grey.
    const pixels = half(50);
    const bar = 20 * width * 3;
    pixels.fill(0, 0, bar);
    pixels.fill(0, pixels.length - bar);
    const found = await measure(await image(pixels).png().toBuffer());
    expect(found.pictureArea).toMatchObject({ shape: 'bars', fraction: expect.closeTo(0.6, 2) });
    expect(found.clippedFraction.max).toBeCloseTo(0.25, 2);
    expect(found.clippedThirds!.middle).toBeCloseTo(0.25 * (33 / 60), 1);
    expect(found.crushedFraction.max).toBe(0);
    const mean = Math.log2((0.25 * 1 + 0.75 * 0.18) / 0.18);
    expect(Math.abs(found.levelStops!.median - mean)).toBeLessThan(0.03);
  });

  test('a few flat colours that no camera exposed are a drawing, without a level', async () => {
    const found = await measure(await image(half(50)).png().toBuffer(), {});
    expect(found).toMatchObject({ noScene: 'drawing', levelStops: undefined });
  });

  test('one channel of 16 bits is a raster, not a dark picture', async () => {
    const codes = Uint16Array.from({ length: width * height }, (_, at) => 7000 + ((37 * at) % 900));
    const tiff = await sharp(codes, { raw: { width, height, channels: 1 } })
      .toColourspace('grey16')
      .tiff({ compression: 'none' })
      .toBuffer();
    expect(await measure(tiff)).toMatchObject({ noScene: 'raster', levelStops: undefined });
  });

  test('numbers of a sensor beside a picture without ISO make it a raster', async () => {
    const jpeg = await image(half(50)).jpeg().toBuffer();
    const beside = (bytes: number) => {
      const head = Buffer.from([0xff, 0xe3, (bytes + 2) >> 8, (bytes + 2) & 0xff]);
      return Buffer.concat([jpeg.subarray(0, 2), head, Buffer.alloc(bytes, 0x42), jpeg.subarray(2)]);
    };
    const facts = { codec: 'jpeg', width, height } as const;
    expect(await measure(beside(2 * width * height), facts)).toMatchObject({ noScene: 'raster' });
    expect((await measure(beside(0.1 * width * height), facts)).noScene).not.toBe('raster');
    expect((await measure(beside(2 * width * height), { ...facts, iso: 100 })).noScene).not.toBe('raster');
  });

  test('16 bits count as 8 bits do', async () => {
    const deep = Buffer.from(new Uint16Array(half(50)).map((code) => code * 257).buffer);
    const codes = new Uint16Array(deep.buffer, deep.byteOffset, deep.length / 2);
    const png = await sharp(codes, { raw: { width, height, channels: 3 } })
      .toColourspace('rgb16')
      .png()
      .toBuffer();
    expect((await sharp(png).metadata()).depth).toBe('ushort');
    expect((await measure(png)).clippedFraction.max).toBe(0.25);
  });

  test('codes from 250 count, whatever the other channels', async () => {
    const of = async (r: number, g: number, b: number) => {
      const pixels = Buffer.alloc(width * height * 3);
      for (let i = 0; i < pixels.length; i += 3) pixels.set([r, g, b], i);
      const { clippedFraction, channelClippedFraction } = await measure(await image(pixels).png().toBuffer());
      return [clippedFraction.max, channelClippedFraction.max];
    };
    expect(await of(249, 249, 249)).toEqual([0, 0]);
    expect(await of(250, 250, 250)).toEqual([1, 1]);
    // Luma 247 (BT.709-6, item 3.2).
    expect(await of(255, 255, 150)).toEqual([0, 1]);
    expect(await of(20, 20, 255)).toEqual([0, 1]);
  });

  test('a turned still clips where it is shown: what is stored at the left comes to the top', async () => {
    const png = await image(half(40)).png().toBuffer();
    const { clippedThirds } = await measure(png, { rotationDegrees: 90 });
    expect(clippedThirds!.upper).toBeCloseTo(0.2, 2);
    expect(clippedThirds!.lower).toBe(0);
  });

  test('all black has no level, all white lies log2(1 / 0.18) = 2.474 stops over grey, a grey card at 0', async () => {
    const black = await measure(await image(half(0, 0)).png().toBuffer());
    expect(black.levelStops).toBeUndefined();
    expect(black.crushedFraction.max).toBe(1);
    const white = await measure(await image(half(width)).png().toBuffer());
    expect(white.levelStops!.median).toBeCloseTo(2.474, 3);
    expect((await measure(await image(half(0)).png().toBuffer())).levelStops!.median).toBeCloseTo(0, 1);
  });

  test('a single pixel is a picture', async () => {
    const png = await sharp(Buffer.from([255, 255, 255]), { raw: { width: 1, height: 1, channels: 3 } })
      .png()
      .toBuffer();
    expect(await measure(png)).toMatchObject({
      clippedFraction: { max: 1, median: 1 },
      clippedShape: 'area',
    });
  });

  test('a JPEG that was cut off keeps what is there', async () => {
    const noise = Buffer.alloc(width * height * 3);
    for (let i = 0; i < noise.length; i++) noise[i] = 60 + ((i * 7919) % 100);
    for (let y = 0; y < 20; y++) noise.fill(255, y * width * 3, (y + 1) * width * 3);
    const whole = await image(noise).jpeg({ quality: 90 }).toBuffer();
    const found = await measure(whole.subarray(0, Math.round(whole.length * 0.5)));
    expect(found.endedEarly!.detail).toMatch(/premature end/);
    expect(found.endedEarly!.reason).not.toMatch(/premature end/);
    // The white rows are 20 of 100; of those that are left they must be more.
    expect(found.clippedFraction.max).toBeGreaterThan(0.25);
  });

  test.each([
    ['text', Buffer.from('#EXTM3U\nother.jpg\n'.repeat(9))],
    ['a vector picture', Buffer.from('<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"/>')],
    ['nothing', Buffer.alloc(0)],
    ['two bytes', Buffer.from([0xff, 0xd8])],
    ['a JPEG head and no more', Buffer.concat([Buffer.from([0xff, 0xd8, 0xff]), Buffer.alloc(200)])],
  ])('%s is refused with a sentence', async (_, file) => {
    await expect(measure(file)).rejects.toThrow(HalfturnError);
  });

  test('a JPEG that was cut off says what share of it could be read', async () => {
    // Noise takes as many bytes in every row; 400 rows are read in steps of 8 or 16.
    const size = { width: 400, height: 400, channels: 3, background: 'black' } as const;
    const noise = { type: 'gaussian', mean: 128, sigma: 40 } as const;
    const whole = await sharp({ create: { ...size, noise } })
      .jpeg({ quality: 95 })
      .toBuffer();
    for (const share of [0.2, 0.6, 0.9]) {
      const { endedEarly } = await measure(whole.subarray(0, Math.round(whole.length * share)));
      expect(Math.abs(endedEarly!.readFraction! - share)).toBeLessThan(0.05);
    }
  });

  test('an AVIF that cannot be decoded is not told that it is HEIC', async () => {
    const whole = await image(half(50)).avif().toBuffer();
    const refused = await measure(whole.subarray(0, whole.length - 200), { codec: 'avif' }).catch(String);
    expect(refused).toContain('cannot be decoded');
    expect(refused).not.toMatch(/HEIC|HEVC/);
  });

  test('an AVIF is turned by its decoder, not once more', async () => {
    const upright = await image(half(50)).avif({ lossless: true }).toBuffer();
    const facts = { codec: 'avif', rotationDegrees: 90 };
    const [plain, turned] = [await measure(upright, { codec: 'avif' }), await measure(upright, facts)];
    expect(turned.clippedThirds).toEqual(plain.clippedThirds);
  });

  test('a preview is not taken for the picture', async () => {
    const tiff = await image(half(50)).tiff().toBuffer();
    await expect(measure(tiff, { width: 4000, height: 3000 })).rejects.toThrow('Only a preview');
    expect((await measure(tiff, { width: 100, height: 200 })).framesMeasured).toBe(1);
  });

  test('the profile does not move codes: what lies below the ceiling in a wide gamut stays below', async () => {
    const pixels = Buffer.alloc(width * height * 3);
    for (let i = 0; i < pixels.length; i += 3) pixels.set([255, 0, 0], i);
    const png = await image(pixels).withIccProfile('p3').png().toBuffer();
    const stored = await sharp(png, { ignoreIcc: true }).raw().toBuffer();
    expect(Math.max(...stored.subarray(0, 3))).toBeLessThan(245);
    expect((await measure(png)).channelClippedFraction.max).toBe(0);
  });
});
