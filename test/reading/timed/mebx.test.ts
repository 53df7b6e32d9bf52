import { expect, test } from 'vitest';
import { wellKnownValue } from '../../../src/containers/mp4.ts';
import { mebxKeys, parseMebx } from '../../../src/reading/timed/mebx.ts';
import { valueReader } from '../../../src/reading/telemetryPairs.ts';
import { isoBox, uint } from '../isoBoxBytes.ts';

// Well-known types after the QuickTime File Format Specification; the bytes are written here by hand.
test.each([
  [1, '312f3230 30', '1/200'],
  [1, '662f322e 3800 4142', 'f/2.8'],
  [2, '0031 002f 0035', '1/5'],
  [21, 'ff', -1],
  [21, 'ff00', -256],
  [22, 'ff00', 65280],
  [22, '0f4240', 1_000_000],
  [23, '40333333', 2.8],
  [24, '3f70624dd2f1a9fc', 0.004],
  [65, 'e2', -30],
  [66, 'ffe2', -30],
  [67, 'ffffffe2', -30],
  [74, 'ffffffffffffffe2', -30],
  [75, 'e2', 226],
  [76, '0190', 400],
  [77, '00000190', 400],
  [78, '0000000000000190', 400],
  [23, '4033', undefined],
  [77, '0190', undefined],
  [13, 'ffd8', undefined],
])('type %i of %s is %j', (type, hex, value) => {
  expect(wellKnownValue(type, Buffer.from(hex.replaceAll(' ', ''), 'hex'))).toBe(value);
});

const context = { source: 'test', framesPerSecond: 24 };
test.each([
  ['org.aeroform.exposure-time', 0.004, { exposureSeconds: 0.004 }],
  ['org.aeroform.exposure-time-nanoseconds', 4_000_000, { exposureSeconds: 0.004 }],
  ['org.aeroform.exposureTimeUs', 4000, { exposureSeconds: 0.004 }],
  ['org.aeroform.exposure_time_ms', 4, { exposureSeconds: 0.004 }],
  ['org.aeroform.exposure_time_ms', '4', { exposureSeconds: 0.004 }],
  ['org.aeroform.integration-time-seconds', 2, { exposureSeconds: 2 }],
  ['org.aeroform.shutter-speed', 250, { exposureSeconds: 0.004 }],
  ['org.aeroform.shutter-speed', '1/250', { exposureSeconds: 0.004 }],
  ['org.aeroform.shutter-angle', 180, { exposureSeconds: 1 / 48 }],
  ['org.aeroform.iso', 400, { iso: 400 }],
  ['org.aeroform.photographic-sensitivity', 400, { iso: 400 }],
  ['org.aeroform.aperture', 'f/2.8', { fNumber: 2.8 }],
  ['org.aeroform.f-number', 2.8, { fNumber: 2.8 }],
  ['org.aeroform.focal-length-mm', 24, { focalLengthMm: 24 }],
  ['org.aeroform.exposure-bias', -0.5, { exposureBiasStops: -0.5 }],
  ['org.aeroform.heading', -90, { headingDegrees: 270 }],
  [
    'org.aeroform.location.ISO6709',
    '-47.5+008.25+012.5/',
    { latitude: -47.5, longitude: 8.25, altitudeMetres: 12.5 },
  ],
  // 0 stands for unknown where no such number can be.
  ['org.aeroform.iso', 0, {}],
])('a value under %s of %j is read', (key, value, facts) => {
  expect(valueReader(key)?.(value, context)).toEqual({ facts, refusals: [] });
});

test.each(['org.aeroform.gimbal.pitch', 'org.aeroform.iso-max', 'org.aeroform.frames', 'ms', ''])(
  'the key %j says nothing to us',
  (key) => {
    expect(valueReader(key)).toBeUndefined();
  },
);

test.each([
  ['org.aeroform.exposure-time', 40],
  ['org.aeroform.exposure-time', -1],
  ['org.aeroform.shutter-angle', 720],
  ['org.aeroform.iso', -100],
])('a value under %s of %j is refused', (key, value) => {
  const read = valueReader(key)?.(value, context);
  expect(read?.facts).toEqual({});
  expect(read?.refusals).toHaveLength(1);
});

const key = (id: number, name: string, namespace: number, type: number): Buffer =>
  isoBox(
    uint(id, 4).toString('latin1'),
    isoBox('keyd', Buffer.from('mdta'), Buffer.from(name)),
    isoBox('dtyp', uint(namespace, 4), uint(type, 4)),
  );

test('the key table keeps what is known, of a well-known type', () => {
  const table = isoBox(
    'keys',
    key(1, 'org.aeroform.iso', 0, 77),
    key(2, 'org.aeroform.gimbal.pitch', 0, 66),
    key(3, 'org.aeroform.f-number', 1, 23),
  );
  expect([...mebxKeys(table).keys()]).toEqual(['\0\0\0\x01']);
});

test('an empty sample is a gap, and a value of the wrong length is none', () => {
  const entry = isoBox('keys', key(1, 'org.aeroform.iso', 0, 77));
  const sample = (startSeconds: number, bytes: Buffer) => ({
    startSeconds,
    endSeconds: startSeconds + 1,
    bytes,
  });
  const iso = (value: number, size = 4): Buffer => isoBox('\0\0\0\x01', uint(value, size));
  const reading = parseMebx(
    entry,
    [sample(0, iso(100)), sample(1, Buffer.alloc(0)), sample(2, iso(200)), sample(3, iso(400, 2))],
    { source: 'test' },
  );
  expect(reading.track?.samples).toEqual([
    { startSeconds: 0, endSeconds: 1, iso: 100 },
    { startSeconds: 2, endSeconds: 3, iso: 200 },
  ]);
});
