import { expect, test } from 'vitest';
import { isFirmwareVersion } from '../../src/reading/captureFacts.ts';
import { bytesSource } from '../../src/containers/byteSource.ts';
import { readExif } from '../../src/reading/exif.ts';
import { agree, mergedFacts, sourceOf, valueOf } from './readings.ts';
import { fields, tiffBlock } from './tiffBlock.ts';

const le = fields(true);
const read = (exif: Parameters<typeof tiffBlock>[0]['exif'] & object) =>
  readExif(bytesSource(tiffBlock({ exif })));

// Values of a real file, photo.stackexchange.com/questions/108817; 4 -> 1/16 s, xecute.com help page.
test.each([
  [8_643_856, 1_000_000, 1 / 400, 1e-6],
  [4, 1, 1 / 16, 1e-12],
])(
  'ShutterSpeedValue %i/%i stands in for the exposure time',
  async (numerator, denominator, seconds, tolerance) => {
    const reading = await read([le.signedRational(0x9201, numerator, denominator)]);
    expect(Math.abs((valueOf(reading, 'exposureSeconds') ?? Number.NaN) - seconds)).toBeLessThan(tolerance);
    expect(sourceOf(reading, 'exposureSeconds')).toBe('EXIF ShutterSpeedValue');
  },
);

test('ApertureValue 1695994/1000000 stands in for f/1.80 (the same real file)', async () => {
  const reading = await read([le.rational(0x9202, 1_695_994, 1_000_000)]);
  expect(valueOf(reading, 'fNumber')).toBeCloseTo(1.8, 2);
  expect(sourceOf(reading, 'fNumber')).toBe('EXIF ApertureValue');
});

test('a recorded time and f-number go before their logarithms', async () => {
  const reading = await read([
    le.rational(0x829a, 1, 60),
    le.rational(0x829d, 56, 10),
    le.signedRational(0x9201, 6, 1),
    le.rational(0x9202, 5, 1),
  ]);
  expect(valueOf(reading, 'exposureSeconds')).toBe(1 / 60);
  expect(valueOf(reading, 'fNumber')).toBe(5.6);
  expect(reading.refusals).toEqual([]);
});

// Marks 1/15 to 1/1000 stand for powers of two (scantips.com/lights/fstop2.html); the others are the nearest third of a
// stop, worked out from that rule. The widest gap is 0.0931 stop.
const marks: readonly (readonly [mark: number, exact: number])[] = [
  [15, 16],
  [30, 32],
  [60, 64],
  [125, 128],
  [250, 256],
  [500, 512],
  [1000, 1024],
  [24, 25.398],
  [48, 50.797],
  [50, 50.797],
  [100, 101.594],
  [200, 203.187],
  [400, 406.375],
  [800, 812.749],
  [1600, 1625.499],
  [3200, 3250.997],
  [8000, 8192],
];
test.each(marks)('1/%f and 1/%f s are one exposure: marked and exact', (mark, exact) => {
  expect(agree('exposureSeconds', 1 / mark, 1 / exact)).toBe(true);
  const facts = mergedFacts([
    { fact: 'exposureSeconds', value: 1 / mark, carrier: 'exif', source: 'EXIF ExposureTime' },
    {
      fact: 'exposureSeconds',
      value: 1 / exact,
      carrier: 'xmp-embedded',
      source: 'XMP exif:ShutterSpeedValue',
    },
  ]);
  // The recorded mark is kept as it is: a video camera may mean it.
  expect(facts.exposureSeconds).toEqual({ value: 1 / mark, source: 'EXIF ExposureTime' });
});

test.each([
  [1.4, 1.4142],
  [2.8, 2.8284],
  [5.6, 5.6569],
  [11, 11.3137],
  [22, 22.6274],
])('f/%f and f/%f are one aperture', (mark, exact) => {
  expect(agree('fNumber', mark, exact)).toBe(true);
});

test('a third of a stop is another exposure', () => {
  expect(agree('exposureSeconds', 1 / 50, 1 / 60)).toBe(false);
});

test.each([
  [2, 'general'],
  [3, 'while-shooting'],
] as const)('CompositeImage %i becomes a fact: %s', async (value, kind) => {
  expect(valueOf(await read([le.short(0xa460, value)]), 'composite')).toBe(kind);
});

test.each([0, 1, 4])('CompositeImage %i says of no composite', async (value) => {
  expect(valueOf(await read([le.short(0xa460, value), le.short(0x8827, 100)]), 'composite')).toBeUndefined();
});

test.each(['V01.02.0300', '10.3.1', '01.00', 'Firmware 2.10', 'AX1 V01.02.0300', 'Veldrin-2 v00.09.0121'])(
  'a camera says %j of itself',
  (text) => expect(isFirmwareVersion(text)).toBe(true),
);

test.each(['Cutter 10.6', 'Lavf58.76.100', 'Grade Studio 18.1.4', 'editor', 'Cutter 2023.01', ''])(
  '%j is a program',
  (text) => expect(isFirmwareVersion(text)).toBe(false),
);
