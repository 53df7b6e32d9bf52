import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { parseTelemetryPairs } from '../../src/reading/telemetryPairs.ts';

const factsOf = (text: string, framesPerSecond?: number) =>
  parseTelemetryPairs(text, { source: 'test', framesPerSecond }).facts;
const refusalsOf = (text: string) => parseTelemetryPairs(text, { source: 'test' }).refusals;

describe('an exposure time is read', () => {
  test.each([
    ['shutter: 1/50', 1 / 50],
    ['SHUTTER SPEED = 1/50 s', 1 / 50],
    ['shutter_speed 1/50s', 1 / 50],
    ['shutter: 50', 1 / 50],
    ['[shutter : 1/800.0]', 1 / 800],
    ['Exposure Time: 0.02', 0.02],
    ['exposure=0.00125 s', 1 / 800],
    ['ExposureTime: 20 ms', 0.02],
    ['exposure 1250 us', 1 / 800],
    ['"shutter": "1/50"', 1 / 50],
    ['SS 1/50', 1 / 50],
    ['<font size="28">shutter: 1/50</font>', 1 / 50],
  ])('from %s', (text, seconds) => {
    expect(factsOf(text).exposureSeconds).toBeCloseTo(seconds, 12);
  });

  // 172.8 degrees at 24 frames/s are 1/50 s: 360 x 24 / 50.
  test.each(['shutter: 172.8°', 'Shutter Angle 172.8', 'shutter 172.8 deg'])(
    'from the angle in %s',
    (text) => {
      expect(factsOf(text, 24).exposureSeconds).toBeCloseTo(1 / 50, 12);
    },
  );
});

describe('other facts are read', () => {
  test.each([
    ['ISO100', { iso: 100 }],
    ['sensitivity=400', { iso: 400 }],
    ['f/2.8', { fNumber: 2.8 }],
    ['F2.8', { fNumber: 2.8 }],
    ['aperture: f/2.8', { fNumber: 2.8 }],
    ['Iris F4', { fNumber: 4 }],
    ['f-number 5.6', { fNumber: 5.6 }],
    ['exposure offset: -0.3', { meteredOffsetStops: -0.3 }],
    ['metered offset +0.7 EV', { meteredOffsetStops: 0.7 }],
    ['ev: -0.7', { evAsReadStops: -0.7 }],
    ['exposure compensation 1/3', { exposureBiasStops: 1 / 3 }],
    ['focal length: 24 mm', { focalLengthMm: 24 }],
    ['latitude: -47.5', { latitude: -47.5 }],
    ['lat 47.5 S', { latitude: -47.5 }],
    ['position: 47.5, 8.7', { latitude: 47.5, longitude: 8.7 }],
    ['position (8.7 E, 47.5 N)', { latitude: 47.5, longitude: 8.7 }],
    ['rel_alt: 12 abs_alt: 450.1', { heightOverStartMetres: 12, altitudeMetres: 450.1 }],
    ['heading -90', { headingDegrees: 270 }],
  ])('from %s', (text, facts) => {
    expect(factsOf(text)).toEqual(facts);
  });

  test('several pairs on a line, in several arrangements', () => {
    const facts = { iso: 100, exposureSeconds: 1 / 50, fNumber: 2.8 };
    expect(factsOf('iso: 100 shutter: 1/50 aperture: 2.8')).toEqual(facts);
    expect(factsOf('[iso = 100] [shutter = 1/50] [aperture = 2.8]')).toEqual(facts);
    expect(factsOf('F2.8, SS 1/50, ISO 100')).toEqual(facts);
    expect(factsOf('{"iso":100,"shutter":"1/50","aperture":2.8}')).toEqual(facts);
    expect(factsOf('frame=0 iso=100\nshutter=1/50\naperture=2.8 mode=auto')).toEqual(facts);
  });
});

describe('nothing is invented', () => {
  test.each([
    ['iso: 0', 'iso'],
    ['ISO 65535', 'iso'],
    ['shutter: 1/0', 'exposureSeconds'],
    ['exposure: 50', 'exposureSeconds'],
    ['exposure -0.7 EV', 'exposureSeconds'],
    ['shutter: 2', 'exposureSeconds'],
    ['shutter angle 180', 'exposureSeconds'],
    ['fnum: 0.28', 'fNumber'],
    ['latitude: 91', 'latitude'],
    ['focal length 24 s', 'focalLengthMm'],
  ])('%s is refused', (text, what) => {
    expect(factsOf(text)).toEqual({});
    expect(refusalsOf(text).map((one) => one.what)).toEqual([what]);
  });

  test.each([
    'exposure mode: auto',
    'min shutter: 1/50',
    'target iso 100',
    'height: 1080',
    'shutter 2026-05-14',
    'focal length in 35mm film: 24',
    'isolated 100',
    'The iris was open. 12 people came.',
    'shutter: 1/50fps',
  ])('%s says nothing', (text) => {
    expect(factsOf(text)).toEqual({});
  });

  test('the first value of a fact counts', () => {
    expect(factsOf('iso 100 iso 200')).toEqual({ iso: 100 });
  });
});

test('any exposure time that is written as a fraction comes back, whatever the separator', () => {
  const bottoms = fc.integer({ min: 1, max: 32_000 });
  const separators = fc.constantFrom(': ', '=', ' ', ' = ', ':');
  fc.assert(
    fc.property(bottoms, separators, (bottom, separator) => {
      expect(factsOf(`a=1 shutter${separator}1/${bottom}, iso${separator}100`)).toEqual({
        exposureSeconds: 1 / bottom,
        iso: 100,
      });
    }),
  );
});

test('no text gives a value that cannot be', () => {
  const words = fc.constantFrom(
    'iso',
    'shutter',
    'exposure',
    'f/',
    '1/',
    '0',
    '-',
    '50',
    ':',
    ' ',
    '°',
    'latitude',
    '\n',
    'e9',
    '<',
    '.',
  );
  fc.assert(
    fc.property(
      fc.oneof(
        fc.string({ unit: 'binary' }),
        fc.array(words).map((all) => all.join('')),
      ),
      (text) => {
        const facts = factsOf(text, 25);
        for (const value of Object.values(facts)) expect(Number.isFinite(value)).toBe(true);
        for (const value of [facts.iso, facts.exposureSeconds, facts.fNumber])
          expect(value ?? 1).toBeGreaterThan(0);
      },
    ),
    { numRuns: 500 },
  );
});

test('text made to be slow to read is read at once', { timeout: 20_000 }, () => {
  for (const text of [
    'shutter '.repeat(100_000),
    `exposure ${'1'.repeat(100_000)}`,
    '<'.repeat(100_000),
    ' '.repeat(100_000),
    '1/'.repeat(50_000),
  ]) {
    expect(factsOf(text).iso).toBeUndefined();
  }
});
