import { existsSync, writeFileSync } from 'node:fs';
import { readFile } from 'node:fs/promises';
import path from 'node:path';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { HalfturnError } from '../../src/domain/halfturnError.ts';
import type { Measurement } from '../../src/domain/measurement.ts';
import type { Facts } from '../../src/domain/recording.ts';
import { heifDecoderVersion, readHeifPixels } from '../../src/measuring/heif/heifPixels.ts';
import { measureStill } from '../../src/measuring/measureStill.ts';
import { openMedia } from '../../src/programs/openMedia.ts';
import { mergeReadings } from '../../src/reading/mergeReadings.ts';
import { readStill } from '../../src/reading/still.ts';
import { everything } from '../everything.ts';
import { blankFrame, temporaryFolder } from './encodeClip.ts';
import { heicFile } from './heifBytes.ts';

const shape = { width: 320, height: 240, bitDepth: 8 } as const;
const noLimits = { mostPixels: 1e9, mostMemoryBytes: 2 ** 30, longestMs: 60_000 };

/** Left quarter white, the rest grey at 18% (code 118 of sRGB). */
function quarterWhite() {
  const frame = blankFrame(shape, 118);
  for (let row = 0; row < shape.height; row += 1)
    frame.fill(255, row * shape.width, row * shape.width + shape.width / 4);
  return frame;
}

async function measure(file: Buffer | string): Promise<{ facts: Facts; measurement: Measurement }> {
  const at = typeof file === 'string' ? file : path.join(temporaryFolder(), 'still.heic');
  if (typeof file !== 'string') writeFileSync(at, file);
  const media = await openMedia(at);
  try {
    const facts = mergeReadings([(await readStill(media))!]).facts;
    return { facts, measurement: await measureStill(media, facts) };
  } finally {
    await media.close();
  }
}

describe('a HEIC still', () => {
  test('is measured: of a quarter that is white a quarter is clipped, and grey is grey', async () => {
    const { measurement } = await measure(await heicFile(shape, quarterWhite()));
    expect(measurement.clippedFraction.max).toBeCloseTo(0.25, 3);
    expect(measurement.crushedFraction.max).toBe(0);
    const { width, height, codes } = await readHeifPixels(await heicFile(shape, quarterWhite()));
    expect([width, height]).toEqual([320, 240]);
    expect([...codes.subarray(0, 3)]).toEqual([255, 255, 255]);
    for (const code of codes.subarray(-3)) expect(Math.abs(code - 118)).toBeLessThanOrEqual(1);
  });

  test('that asks for a quarter turn anticlockwise clips below: what is stored at the left comes to the bottom', async () => {
    const { facts, measurement } = await measure(await heicFile(shape, quarterWhite(), { quarterTurns: 1 }));
    expect([facts.width?.value, facts.height?.value]).toEqual([240, 320]);
    expect(measurement.clippedThirds!.lower).toBeCloseTo(0.25, 2);
    expect(measurement.clippedThirds!.upper).toBe(0);
  });

  test('whose picture is not of the size that it states is refused', async () => {
    const file = await heicFile(shape, quarterWhite(), { sizeStated: { width: 640, height: 480 } });
    await expect(measure(file)).rejects.toThrow(HalfturnError);
  });

  test('is given up after a time, and gets no more memory and no more pixels than allowed', async () => {
    const file = await heicFile(shape, quarterWhite());
    await expect(readHeifPixels(file, { ...noLimits, longestMs: 1 })).rejects.toThrow('given up');
    await expect(readHeifPixels(file, { ...noLimits, mostPixels: 320 * 239 })).rejects.toThrow('160 million');
    const large = { width: 3200, height: 2400, bitDepth: 8 } as const;
    const file8 = await heicFile(large, blankFrame(large, 118));
    await expect(readHeifPixels(file8, { ...noLimits, mostMemoryBytes: 20e6 })).rejects.toThrow(
      HalfturnError,
    );
    expect((await readHeifPixels(file8, noLimits)).width).toBe(3200);
  });

  test('that is damaged anywhere gives pixels or a sentence', { timeout: 120_000 }, async () => {
    const file = await heicFile(shape, quarterWhite());
    const change = fc.record({ at: fc.nat(file.length - 1), value: fc.nat(255) });
    await fc.assert(
      fc.asyncProperty(
        fc.array(change, { minLength: 1, maxLength: 8 }),
        fc.nat(file.length),
        async (changes, cut) => {
          const bytes = Buffer.from(file);
          for (const { at, value } of changes) bytes[at] = value;
          const outcome = await readHeifPixels(cut % 2 === 0 ? bytes : bytes.subarray(0, cut)).catch(
            (error: unknown) => error,
          );
          if (outcome instanceof Error) expect(outcome).toBeInstanceOf(HalfturnError);
          else expect(outcome).toHaveProperty('codes');
        },
      ),
      { numRuns: everything ? 30 : 6 },
    );
  });

  test('of another coding than HEVC is refused with a sentence that says so', async () => {
    const file = Buffer.from(
      (await heicFile(shape, quarterWhite())).toString('latin1').replace('hvc1', 'unci'),
      'latin1',
    );
    await expect(measure(file)).rejects.toThrow('HEVC');
  });
});

test('the version of the decoder is known', async () => {
  expect(await heifDecoderVersion()).toMatch(/^\d+\.\d+/);
});

const phone = path.resolve(import.meta.dirname, '../../../shared/real-media/phone.heic');
test.skipIf(!existsSync(phone))(
  'a real HEIC still, a grid of tiles, is measured at full size (skipped without the file)',
  async () => {
    const { width, height } = await readHeifPixels(await readFile(phone));
    expect([width, height]).toEqual([4032, 3024]);
    expect((await measure(phone)).measurement.framesMeasured).toBe(1);
  },
);
