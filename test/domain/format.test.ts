import fc from 'fast-check';
import { expect, test } from 'vitest';
import {
  formatAngle,
  formatBytes,
  formatDuration,
  formatExposure,
  formatPercent,
  formatRate,
  formatShutter,
  formatStops,
  stopsInWords,
} from '../../src/domain/format.ts';

test.each([
  [1 / 50, '1/50'],
  [1 / 47.95, '1/48'],
  [1 / 59.94, '1/60'],
  [1 / 8000, '1/8000'],
  [0.5, '0.5 s'],
  [2, '2 s'],
  [30, '30 s'],
])('formatShutter(%d) is %s', (exposureSeconds, text) => expect(formatShutter(exposureSeconds)).toBe(text));

test('formatExposure() always names seconds, once', () => {
  expect([formatExposure(1 / 50), formatExposure(0.5)]).toEqual(['1/50 s', '0.5 s']);
});

test.each([
  [0.3, '+0.3'],
  [-1.26, '−1.3'],
  [0.04, '0.0'],
  [-0.04, '0.0'],
])('formatStops(%d) is %s', (stops, text) => expect(formatStops(stops)).toBe(text));

test('stopsInWords() knows one from many', () => {
  expect([stopsInWords(-1), stopsInWords(0.3), stopsInWords(4)]).toEqual(['1 stop', '0.3 stops', '4 stops']);
});

test('formatAngle() shows a tenth where there is one', () => {
  expect([180, 172.8, 11.25, 359.96, 0.04].map(formatAngle)).toEqual([
    '180°',
    '172.8°',
    '11.3°',
    '360°',
    '0.04°',
  ]);
});

test.each([
  [0, '0%'],
  [0.00001, '<0.01%'],
  [0.0006, '0.06%'],
  [0.0043, '0.43%'],
  [0.031, '3.1%'],
  [0.0996, '10%'],
  [0.184, '18%'],
  [0.9996, '99%'],
  [1, '100%'],
])('formatPercent(%d) is %s', (fraction, text) => expect(formatPercent(fraction)).toBe(text));

// Rates of ITU-R BT.709 and their multiples by 1000/1001.
test('formatRate() names broadcast rates as people do', () => {
  expect([24_000 / 1001, 30_000 / 1001, 60_000 / 1001, 25, 120_000 / 1001].map(formatRate)).toEqual([
    '23.976',
    '29.97',
    '59.94',
    '25',
    '119.88',
  ]);
});

test.each([
  [0, '0 s'],
  [42.44, '42.4 s'],
  [59.97, '1:00'],
  [125.2, '2:05'],
  [3599.7, '1:00:00'],
])('formatDuration(%d) is %s', (seconds, text) => expect(formatDuration(seconds)).toBe(text));

test.each([
  [0, '0 B'],
  [999, '999 B'],
  [1000, '1 kB'],
  [999_999, '1 MB'],
  [104_857_600, '105 MB'],
  [3.2e9, '3.2 GB'],
])('formatBytes(%d) is %s', (bytes, text) => expect(formatBytes(bytes)).toBe(text));

test('a shutter fraction read back lies within half a step of what was given', () => {
  fc.assert(
    fc.property(fc.double({ min: 1e-5, max: 0.2499, noNaN: true }), (exposureSeconds) => {
      const denominator = Number(formatShutter(exposureSeconds).slice(2));
      expect(Math.abs(denominator - 1 / exposureSeconds)).toBeLessThanOrEqual(0.5);
    }),
  );
});
