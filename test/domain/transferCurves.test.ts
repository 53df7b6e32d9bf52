import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  decodePq,
  decodeSrgb,
  encodePq,
  greyCardLight,
  levelToleranceStops,
  lightOfLevel,
  lightOfSignal,
} from '../../src/domain/transferCurves.ts';

const decodeBt709 = (signal: number) => lightOfSignal('bt709', signal);
const decodeHlg = (signal: number) => lightOfSignal('hlg', signal);

/** ITU-R BT.709-6, item 1.2. */
function encodeBt709(light: number): number {
  return light < 0.018 ? 4.5 * light : 1.099 * light ** 0.45 - 0.099;
}

/** IEC 61966-2-1:1999. */
function encodeSrgb(light: number): number {
  return light <= 0.0031308 ? 12.92 * light : 1.055 * light ** (1 / 2.4) - 0.055;
}

/** ITU-R BT.2100-2, table 5, "HLG Reference OETF", with b and c as printed. */
function encodeHlg(light: number): number {
  return light <= 1 / 12 ? Math.sqrt(3 * light) : 0.17883277 * Math.log(12 * light - 0.28466892) + 0.55991073;
}

interface Published {
  readonly curve: string;
  readonly source: string;
  readonly encode: (light: number) => number;
  readonly decode: (signal: number) => number;
  readonly tolerance: number;
  readonly rows: readonly (readonly [light: number, signal: number])[];
}

const published: readonly Published[] = [
  {
    curve: 'BT.709',
    source: 'ITU-R BT.709-6, item 1.2, as tested in colour-science, test_itur_bt_709.py',
    encode: encodeBt709,
    decode: decodeBt709,
    tolerance: 1e-7,
    rows: [
      [0, 0],
      [0.015, 0.0675],
      [0.18, 0.40900772886415],
      [1, 1],
    ],
  },
  {
    curve: 'HLG',
    source:
      'ITU-R BT.2100, table 5, as tested in colour-science, test_itur_bt_2100.py and test_arib_std_b67.py',
    encode: encodeHlg,
    decode: decodeHlg,
    tolerance: 1e-7,
    rows: [
      [0, 0],
      [0.18 / 12, 0.212132034355964],
      [1 / 12, 0.5],
      [1, 0.999999995536569],
    ],
  },
  {
    curve: 'PQ',
    source: 'SMPTE ST 2084, as tested in colour-science, test_st_2084.py',
    encode: encodePq,
    decode: decodePq,
    tolerance: 1e-7,
    rows: [
      [0, 7.30955903e-7],
      [100, 0.508078421517399],
      [400, 0.652578597563067],
      [779.98836083408537, 0.724769816665726],
      [10_000, 1],
    ],
  },
  {
    curve: 'PQ, rounded',
    source: 'Report ITU-R BT.2408, table 1: 26 cd/m² 38%, 162 56%, 179 57%, 203 58%',
    encode: encodePq,
    decode: decodePq,
    tolerance: 0.005,
    rows: [
      [26, 0.38],
      [162, 0.56],
      [179, 0.57],
      [203, 0.58],
    ],
  },
  {
    curve: 'HLG, rounded',
    source: 'Report ITU-R BT.2408, table 1: a grey card (18% of reference white, at 75%) lies at 38%',
    encode: encodeHlg,
    decode: decodeHlg,
    tolerance: 0.005,
    rows: [
      [greyCardLight('hlg'), 0.38],
      [0.83 * decodeHlg(0.75), 0.71],
      [0.9 * decodeHlg(0.75), 0.73],
    ],
  },
  {
    curve: 'sRGB',
    source: 'IEC 61966-2-1:1999, from memory; 18% lies between codes 117 and 118 of 255',
    encode: encodeSrgb,
    decode: decodeSrgb,
    tolerance: 0.5 / 255,
    rows: [
      [0, 0],
      [0.18, 117.6 / 255],
      [1, 1],
    ],
  },
];

describe.each(published)('$curve ($source)', ({ encode, decode, tolerance, rows }) => {
  test.each(rows)('light %d is signal %d', (light, signal) => {
    expect(Math.abs(encode(light) - signal)).toBeLessThanOrEqual(tolerance);
  });

  test.each(rows)('light %d comes back from its signal', (light) => {
    // PQ is steep near black: a relative tolerance on 10,000 cd/m² would hide nothing there.
    expect(Math.abs(decode(encode(light)) - light)).toBeLessThanOrEqual(1e-6 * Math.max(1, light));
  });
});

test('BT.709 puts grey at code 106 of 8 bits and 422 of 10 bits, narrow range (arithmetic on BT.709-6, item 4.6)', () => {
  expect(Math.round(219 * encodeBt709(0.18) + 16)).toBe(106);
  expect(Math.round((219 * encodeBt709(0.18) + 16) * 4)).toBe(422);
});

/** PQ raises to the power 78.8, which makes the last rounding of a number as many times larger. */
const roundedFraction = 1e-13;

test.each(published)('$curve undoes itself and never falls as light rises', ({ encode, decode }) => {
  const top = decode(1);
  const light = fc.double({ min: 0, max: 1, noNaN: true }).map((share) => share * top);
  fc.assert(
    fc.property(light, light, (a, b) => {
      expect(Math.abs(decode(encode(a)) - a)).toBeLessThanOrEqual(1e-6 * top);
      if (a < b) expect(encode(a)).toBeLessThanOrEqual(encode(b) * (1 + roundedFraction));
    }),
  );
});

test('signals below black stay finite', () => {
  for (const decode of [decodeBt709, decodeSrgb, decodeHlg, decodePq])
    expect(Number.isFinite(decode(-0.07))).toBe(true);
});

// Means over 16 bracketed scenes that took no part in the fit: so far over a normal exposure, so much by the curve.
test.each([
  [1, 0.78],
  [2, 1.48],
  [3, 1.98],
])('%d stops over that read %d by the curve are found again', (stops, levelStops) => {
  expect(Math.abs(lightOfLevel(levelStops, 'srgb') - stops)).toBeLessThan(levelToleranceStops / 2);
});

test('light rises with the level, up to white and beyond, and is the level from mid-grey down', () => {
  const light = Array.from({ length: 80 }, (_, i) => lightOfLevel(-4 + i / 10, 'bt709'));
  expect(light.every((stops, i) => i === 0 || stops > light[i - 1]!)).toBe(true);
  expect(lightOfLevel(-2, 'bt709')).toBe(-2);
  expect(lightOfLevel(2, 'hlg')).toBe(2);
});
