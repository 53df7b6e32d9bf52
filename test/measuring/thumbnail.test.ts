import sharp from 'sharp';
import { describe, expect, it } from 'vitest';
import type { Frame } from '../../src/measuring/decoding/frame.ts';
import {
  planPictures,
  brightness,
  burntPicture,
  clippedPlaces,
  stripPicture,
  thumbnailOfFrame,
  thumbnailOfPixels,
} from '../../src/measuring/thumbnail.ts';

const video = { range: 'narrow', transfer: 'bt709' } as const;

/** A grey frame whose upper quarter is at the nominal peak, and whose chroma is neutral or given. */
function frame(
  changes: { readonly bitDepth?: number; readonly cb?: number; readonly cr?: number } = {},
): Frame {
  const { bitDepth = 8, cb = 128, cr = 128 } = changes;
  const scale = 2 ** (bitDepth - 8);
  const [width, height] = [640, 360];
  const codes = bitDepth === 8 ? Uint8Array : Uint16Array;
  const luma = new codes(width * height).fill(126 * scale).fill(235 * scale, 0, (width * height) / 4);
  const chroma = (code: number) => new codes((width * height) / 4).fill(code * scale);
  return { width, height, bitDepth, atSeconds: 1.5, luma, cb: chroma(cb), cr: chroma(cr) };
}

describe('thumbnailOfFrame()', () => {
  it.each([8, 10])(
    '%d bits: half-way between black and the peak becomes the middle grey of a screen',
    (bitDepth) => {
      const small = thumbnailOfFrame(frame({ bitDepth }), video, 320);
      expect([small.width, small.height]).toEqual([320, 180]);
      // (126 - 16) / 219 of 255, by BT.709's narrow range.
      expect(small.rgb.slice(-3)).toEqual(Uint8Array.of(128, 128, 128));
      expect(small.rgb.slice(0, 3)).toEqual(Uint8Array.of(255, 255, 255));
    },
  );

  it('red difference makes red', () => {
    // BT.709: R' = Y' + 1.5748 Cr and G' = Y' - 0.4681 Cr with Cr = (240 - 128) / 224 = 0.5 and Y' = 0.5023: red is
    // at its end, green at 0.2682 of 255.
    const [r, g, b] = thumbnailOfFrame(frame({ cr: 240 }), video, 320).rgb.slice(-3);
    expect(r).toBe(255);
    expect(g).toBe(68);
    expect(b).toBe(128);
  });

  it('tells the clipped quarter of the picture', () => {
    const small = thumbnailOfFrame(frame(), video, 320);
    expect(clippedPlaces(small, 231) / small.codes.length).toBeCloseTo(0.25, 2);
    expect(clippedPlaces(small, 236)).toBe(0);
  });
});

describe('a frame of which every second row is there', () => {
  const whole = frame();
  const rows = (codes: Frame['luma'], width: number) =>
    codes.filter((_, at) => Math.floor(at / width) % 2 === 0) as Frame['luma'];
  const halved = {
    ...whole,
    height: whole.height / 2,
    rowStep: 2,
    luma: rows(whole.luma, 640),
    cb: rows(whole.cb, 320),
    cr: rows(whole.cr, 320),
  };

  it('looks the same as the whole one', () => {
    const [small, same] = [whole, halved].map((one) => thumbnailOfFrame(one, video, 320));
    expect([same!.width, same!.height]).toEqual([small!.width, small!.height]);
    expect(clippedPlaces(same!, 231)).toBeCloseTo(clippedPlaces(small!, 231), -3);
    expect(same!.rgb.slice(-300)).toEqual(small!.rgb.slice(-300));
  });
});

describe('brightness()', () => {
  it('is nothing where nothing is bright, and grows with the bright part whatever the depth', () => {
    const dark = frame();
    dark.luma.fill(150);
    const half = frame();
    half.luma.fill(235, 0, half.luma.length / 2);
    // A glance has 54 rows: 13 or 14 of them fall into a quarter, 27 into a half.
    expect(brightness(dark, video)).toBe(0);
    expect(brightness(half, video) / brightness(frame(), video)).toBeCloseTo(27 / 13.5, 0);
    expect(brightness(frame({ bitDepth: 10 }), video)).toBeCloseTo(4 * brightness(frame(), video), 6);
  });
});

describe('thumbnailOfPixels()', () => {
  it('keeps R, G and B of 8 and of 16 bits', () => {
    const eight = thumbnailOfPixels(
      { width: 1, height: 1, bitDepth: 8, codes: Uint8Array.of(10, 20, 30) },
      320,
    );
    const codes = Uint16Array.of(10 * 257, 20 * 257, 30 * 257);
    const sixteen = thumbnailOfPixels({ width: 1, height: 1, bitDepth: 16, codes }, 320);
    expect([...eight.rgb]).toEqual([10, 20, 30]);
    expect(sixteen.rgb).toEqual(eight.rgb);
  });
});

describe('small pictures', () => {
  it('are turned as the clip is to be shown', async () => {
    const picture = await stripPicture(thumbnailOfFrame(frame(), video, 176), 90);
    expect([picture.width, picture.height]).toEqual([99, 176]);
    expect(await sharp(picture.bytes).metadata()).toMatchObject({ format: 'webp', width: 99, height: 176 });
  });

  it('are striped over what clips, and nowhere else', async () => {
    const small = thumbnailOfFrame(frame(), video, 320);
    const burnt = await burntPicture(small, { rotationDegrees: 0, limit: 231 });
    expect([burnt.width, burnt.height]).toEqual([320, 180]);
    const { data } = await sharp(burnt.stripes).ensureAlpha().raw().toBuffer({ resolveWithObject: true });
    const opaque = Array.from({ length: 320 * 180 }, (_, at) => data[4 * at + 3]! > 0);
    expect(opaque.filter(Boolean)).toHaveLength(clippedPlaces(small, 231));
    expect(opaque.slice(320 * 46)).not.toContain(true);
  });

  it('stay small even of noise', async () => {
    const noisy = frame();
    let state = 1;
    for (let at = 0; at < noisy.luma.length; at++) {
      state = (state * 48_271) % 2_147_483_647;
      noisy.luma[at] = 16 + (state % 220);
    }
    const strip = thumbnailOfFrame(noisy, video, 176);
    expect((await stripPicture(strip, 0)).bytes.length).toBeLessThan(6_000);
    const small = thumbnailOfFrame(noisy, video, 320);
    const burnt = await burntPicture(small, { rotationDegrees: 0, limit: 231 });
    expect(burnt.sizeBytes).toBeLessThan(22_000);
  });

  it('say how large they are', async () => {
    const small = thumbnailOfFrame(frame(), video, 320);
    const picture = await stripPicture(small, 0);
    expect(picture.sizeBytes).toBe(picture.bytes.length);
    const burnt = await burntPicture(small, { rotationDegrees: 0, limit: 231 });
    expect(burnt.sizeBytes).toBe(burnt.bytes.length + burnt.stripes.length);
  });
});

describe('planPictures()', () => {
  const narrow = { name: 'narrow', basis: 'recorded' } as const;
  const nominal = { ceiling: { signal: 0.98, basis: 'nominal' }, rangeInUse: narrow } as const;

  it('keeps six frames in order and the one that clips most', async () => {
    const pictures = planPictures({});
    for (let at = 0; at < 200; at++) {
      const one = frame();
      if (at < 100) one.luma.fill(126);
      pictures.frame({ ...one, atSeconds: at });
    }
    const { path, frames, burnt } = await pictures.result('A.MP4', nominal);
    expect(path).toBe('A.MP4');
    expect(frames).toHaveLength(6);
    const times = frames.map(({ atSeconds }) => atSeconds);
    expect(times).toEqual(times.toSorted((a, b) => a - b));
    expect(times[0]).toBeLessThan(34);
    expect(times[5]).toBeGreaterThan(166);
    expect(burnt!.atSeconds).toBeGreaterThanOrEqual(100);
  });

  it('puts frames in order that were looked at out of order', async () => {
    const pictures = planPictures({});
    for (const atSeconds of [0, 1, 2, 4, 5, 6, 3]) pictures.frame({ ...frame(), atSeconds });
    const { frames } = await pictures.result('A.MP4', nominal);
    expect(frames.map(({ atSeconds }) => atSeconds)).toEqual([0, 1, 2, 4, 5, 6]);
  });

  it('marks nothing where nothing clips, and has no picture where none was looked at', async () => {
    const pictures = planPictures({});
    expect(await pictures.result('A.MP4', nominal)).toEqual({ path: 'A.MP4', frames: [] });
    const dark = frame();
    dark.luma.fill(60);
    pictures.frame(dark);
    expect((await pictures.result('A.MP4', nominal)).burnt).toBeUndefined();
  });

  // 16 to 235 of 255 are the nominal range (Recommendation ITU-R BT.709-6); cameras that write beyond end at 254.
  it('marks what clips by the codes and the range that were measured', async () => {
    const pictures = planPictures({});
    const beyond = frame();
    beyond.luma.fill(254, 0, beyond.luma.length / 4);
    pictures.frame(beyond);
    const superWhite = { ceiling: { signal: 1.067, basis: 'super-white' }, rangeInUse: narrow } as const;
    expect((await pictures.result('A.MP4', superWhite)).burnt).toBeDefined();
    const full = { name: 'full', basis: 'codes' } as const;
    const atPeak = planPictures({});
    atPeak.frame(frame());
    expect((await atPeak.result('A.MP4', { ...nominal, rangeInUse: full })).burnt).toBeUndefined();
  });

  it('takes all frames of a short clip', async () => {
    const pictures = planPictures({});
    for (const atSeconds of [1, 2]) pictures.frame({ ...frame(), atSeconds });
    const { frames } = await pictures.result('A.MP4', nominal);
    expect(frames.map(({ atSeconds }) => atSeconds)).toEqual([1, 2]);
  });
});
