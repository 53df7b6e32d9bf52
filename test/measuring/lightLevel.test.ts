import { describe, expect, test } from 'vitest';
import { planLevelMeter } from '../../src/measuring/lightLevel.ts';
import type { Frame } from '../../src/measuring/decoding/frame.ts';
import type { RangeName, TransferName } from '../../src/domain/recording.ts';

interface Solid {
  readonly code: number;
  readonly cb?: number;
  readonly cr?: number;
  readonly bitDepth?: 8 | 10;
  readonly size?: readonly [number, number];
}

function solid({ code, cb, cr, bitDepth = 8, size: [width, height] = [64, 36] }: Solid): Frame {
  const plane = (length: number) => (bitDepth === 8 ? new Uint8Array(length) : new Uint16Array(length));
  const chroma = Math.ceil(width / 2) * Math.ceil(height / 2);
  return {
    width,
    height,
    bitDepth,
    atSeconds: 0,
    luma: plane(width * height).fill(code),
    cb: plane(chroma).fill(cb ?? 2 ** (bitDepth - 1)),
    cr: plane(chroma).fill(cr ?? 2 ** (bitDepth - 1)),
  };
}

function levelOf(frame: Frame, transfer: TransferName, range: RangeName): number | undefined {
  return planLevelMeter(transfer, range, frame.bitDepth)(frame)?.levelStops;
}

describe('level of a picture', () => {
  // A grey card is 0 stops. Codes: BT.709-6 by arithmetic (106, 422); BT.2408 table 1: 38% of HLG and PQ, 10 bits 397;
  // IEC 61966-2-1: 118 of 255. Allowed: what rounding to the code costs.
  test.each([
    ['bt709', 'narrow', 8, 106, 0.03],
    ['bt709', 'narrow', 10, 422, 0.01],
    ['srgb', 'full', 8, 118, 0.02],
    ['hlg', 'narrow', 10, 397, 0.02],
    ['pq', 'narrow', 10, 397, 0.02],
  ] as const)('a grey card in %s, %s, %d bits is mid-grey', (transfer, range, bitDepth, code, allowed) => {
    expect(Math.abs(levelOf(solid({ code, bitDepth }), transfer, range)!)).toBeLessThan(allowed);
  });

  test('white is log2(1 / 0.18) = 2.474 stops over grey in BT.709', () => {
    expect(levelOf(solid({ code: 235 }), 'bt709', 'narrow')).toBeCloseTo(2.474, 3);
  });

  // Report ITU-R BT.2408-7, table 1: cards that reflect 83 and 90% lie at 71 and 73% of HLG, 56 and 57% of PQ. Half a
  // percent of the signal is up to 0.08 stop.
  test.each([
    ['hlg', 0.71, 0.83],
    ['hlg', 0.73, 0.9],
    ['pq', 0.56, 0.83],
    ['pq', 0.57, 0.9],
    ['pq', 0.58, 1],
  ] as const)('in %s a card at %d of the signal reflects %d', (transfer, signal, reflectance) => {
    const code = Math.round(64 + 876 * signal);
    const level = levelOf(solid({ code, bitDepth: 10 }), transfer, 'narrow')!;
    expect(Math.abs(level - Math.log2(reflectance / 0.18))).toBeLessThan(0.08);
  });

  test('HLG reference white, 75%, lies as far over grey', () => {
    expect(levelOf(solid({ code: 721, bitDepth: 10 }), 'hlg', 'narrow')).toBeCloseTo(2.474, 2);
  });

  test('full red of BT.709 gives the light of red alone, 0.2126 (BT.709-6, item 3.2)', () => {
    const red = solid({ code: 63, cb: 102, cr: 240 });
    expect(levelOf(red, 'bt709', 'narrow')).toBeCloseTo(Math.log2(0.2126 / 0.18), 1);
  });

  test('light is averaged, not codes: half white and half black is one stop below white', () => {
    const frame = solid({ code: 235 });
    frame.luma.fill(16, 0, frame.luma.length / 2);
    expect(levelOf(frame, 'bt709', 'narrow')).toBeCloseTo(2.474 - 1, 2);
  });

  test('light tinted white at every code near the top still has a level in full range', () => {
    const codes = Array.from({ length: 16 }, (_, i) => 240 + i);
    for (const code of codes)
      for (const cr of [126, 127, 128, 129, 130]) {
        const level = levelOf(solid({ code, cr }), 'bt709', 'full');
        // White is log2(1 / 0.18) = 2.47 stops over grey, and code 240 some 0.2 less.
        expect(level).toBeGreaterThan(2.1);
        expect(level).toBeLessThan(2.5);
      }
  });

  test('black has no level, whatever its size', () => {
    for (const size of [[1, 1] as const, [7, 5] as const, [64, 36] as const])
      expect(levelOf(solid({ code: 16, size }), 'bt709', 'narrow')).toBeUndefined();
    expect(levelOf(solid({ code: 235, size: [1, 1] }), 'bt709', 'narrow')).toBeCloseTo(2.474, 3);
  });
});
