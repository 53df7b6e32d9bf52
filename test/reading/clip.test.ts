import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import fc from 'fast-check';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { bytesSource } from '../../src/containers/byteSource.ts';
import { missingEnd } from '../../src/reading/clip.ts';
import { makeMedia, scratchFolder, testPicture } from './madeMedia.ts';

const coders = {
  'clip.avi': ['-c:v', 'mjpeg'],
  'clip.mkv': ['-c:v', 'libx264'],
  'clip.mxf': ['-c:v', 'mpeg2video'],
  'clip.ts': ['-c:v', 'libx264'],
};
const files = new Map<string, Buffer>();
let folder: Awaited<ReturnType<typeof scratchFolder>>;

beforeAll(async () => {
  folder = await scratchFolder();
  for (const [name, coder] of Object.entries(coders)) {
    const file = join(folder.path, name);
    await makeMedia(
      ...testPicture('25', 2),
      ...coder,
      '-pix_fmt',
      name.endsWith('avi') ? 'yuvj420p' : 'yuv420p',
      file,
    );
    files.set(name, await readFile(file));
  }
}, 60_000);
afterAll(() => folder.remove());

const missing = (bytes: Buffer): number | undefined => missingEnd(bytesSource(bytes));

test.each(Object.keys(coders))('%s lacks nothing', (name) => {
  expect(missing(files.get(name)!)).toBeUndefined();
});

test.each(['clip.avi', 'clip.mkv', 'clip.mxf'])('%s cut in half lacks its second half', (name) => {
  const whole = files.get(name)!;
  const half = Math.floor(whole.length / 2);
  const lacks = missing(whole.subarray(0, half)) ?? 0;
  // An index behind the footer or behind the first chunk is not counted.
  expect(lacks).toBeGreaterThan(0.8 * (whole.length - half));
  expect(lacks).toBeLessThanOrEqual(whole.length - half);
});

test('a transport stream says nothing of its length', () => {
  const whole = files.get('clip.ts')!;
  expect(missing(whole.subarray(0, whole.length / 2))).toBeUndefined();
});

test('sizes that stand for "not written yet" say nothing', () => {
  const avi = Buffer.from(files.get('clip.avi')!);
  for (const size of [0, 0xffff_ffff]) {
    avi.writeUInt32LE(size, 4);
    expect(missing(avi)).toBeUndefined();
  }
});

test('any bytes end without an exception, in a whole positive number or nothing', () => {
  const starts = [0, 1, 2];
  fc.assert(
    fc.property(
      fc.constantFrom(...starts),
      fc.uint8Array({ maxLength: 40 }),
      fc.nat(60),
      (which, noise, place) => {
        const bytes = Buffer.from([...files.values()][which]!.subarray(0, 300));
        bytes.set(noise, Math.min(place, bytes.length - noise.length));
        const lacks = missing(bytes);
        if (lacks !== undefined) expect(Number.isSafeInteger(lacks) && lacks > 0).toBe(true);
      },
    ),
    { numRuns: 500 },
  );
});
