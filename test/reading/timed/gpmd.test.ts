import { existsSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';
import { parseGpmd } from '../../../src/reading/timed/gpmd.ts';
import type { TimedBytes } from '../../../src/reading/timed/trackReading.ts';
import { uint } from '../isoBoxBytes.ts';
import { keyed, keyedNest, keyedText } from './gpmdBytes.ts';

const source = 'test';
const int32 = (value: number) => uint(value < 0 ? 2 ** 32 + value : value, 4);
const float32 = (value: number) => {
  const bytes = Buffer.alloc(4);
  bytes.writeFloatBE(value);
  return bytes;
};
const stream = (...items: Buffer[]) => keyedNest('DEVC', keyedNest('STRM', ...items));
const payloadAt = (startSeconds: number, bytes: Buffer, seconds = 1): TimedBytes => ({
  startSeconds,
  endSeconds: startSeconds + seconds,
  bytes,
});
const shutters = (...seconds: number[]) => stream(keyed('SHUT', 'f', 4, ...seconds.map(float32)));
const scale = keyed('SCAL', 'l', 4, ...[10_000_000, 10_000_000, 1000, 1000, 100].map(int32));
const five = (latitude: number, longitude: number) =>
  Buffer.concat([latitude * 1e7, longitude * 1e7, 93_500, 6250, 640].map((each) => int32(Math.round(each))));

interface Receiver {
  readonly fix?: number;
  readonly precision?: number;
  readonly time?: string;
}
const place = ({ fix = 3, precision = 211, time = '250506070809.400' }: Receiver, ...fives: Buffer[]) =>
  stream(
    keyed('GPSF', 'L', 4, uint(fix, 4)),
    keyedText('GPSU', 'U', time),
    keyed('GPSP', 'S', 2, uint(precision, 2)),
    scale,
    keyed('GPS5', 'l', 20, ...fives),
  );

const read = (...payloads: TimedBytes[]) => parseGpmd(payloads, { source, durationSeconds: 60 });
const factOf = (reading: ReturnType<typeof read>, fact: string) =>
  reading.sightings.find((one) => one.fact === fact)?.value;

test('exposures are spread evenly over the time of their payload, however many there are', () => {
  const reading = read(
    payloadAt(2, shutters(0.005, 0.004, 0.0025, 0.002), 0.5),
    payloadAt(2.5, shutters(0.001)),
  );
  expect(
    reading.track?.samples.map(({ startSeconds, endSeconds, exposureSeconds }) => [
      startSeconds,
      endSeconds,
      exposureSeconds,
    ]),
  ).toEqual([
    [2, 2.125, 0.005],
    [2.125, 2.25, 0.004],
    [2.25, 2.375, 0.0025],
    [2.375, 2.5, 0.002],
    [2.5, 3.5, 0.001],
  ]);
});

test('a sensor gain of 4 is ISO 400, and a recorded sensitivity is believed before it', () => {
  const gain = keyed('ISOG', 'f', 4, float32(4));
  const sensitivity = keyed('ISOE', 'L', 4, uint(320, 4));
  expect(factOf(read(payloadAt(0, stream(gain))), 'iso')).toBe(400);
  expect(factOf(read(payloadAt(0, keyedNest('DEVC', stream(gain), stream(sensitivity)))), 'iso')).toBe(320);
});

test('each exposure gets the sensitivity and the place that hold in its middle', () => {
  const bytes = Buffer.concat([
    shutters(0.004, 0.004, 0.004, 0.004),
    stream(keyed('ISOE', 'S', 2, uint(100, 2), uint(200, 2))),
    place({}, five(1, 2), five(3, 4)),
  ]);
  const { track } = read(payloadAt(0, bytes));
  expect(track?.samples.map(({ iso, latitude, longitude }) => [iso, latitude, longitude])).toEqual([
    [100, 1, 2],
    [100, 1, 2],
    [200, 3, 4],
    [200, 3, 4],
  ]);
  expect(track?.samples[0]).toMatchObject({ altitudeMetres: 93.5, groundSpeedMetresPerSecond: 6.25 });
});

test.each([
  ['GPSF 0', { fix: 0 }],
  ['GPSP 9999', { precision: 9999 }],
])('%s is no fix: neither place nor time counts, and that is said', (raw, receiver) => {
  const reading = read(payloadAt(0, place(receiver, five(1, 2))));
  expect(reading.track).toBeUndefined();
  expect(reading.sightings).toEqual([]);
  expect(reading.refusals).toMatchObject([
    { what: 'latitude', raw, reason: expect.stringContaining('no fix') },
  ]);
});

test('a fix in two dimensions has no altitude', () => {
  const { track } = read(payloadAt(0, place({ fix: 2 }, five(1, 2))));
  expect(track?.samples[0]).toEqual({
    startSeconds: 0,
    endSeconds: 1,
    latitude: 1,
    longitude: 2,
    groundSpeedMetresPerSecond: 6.25,
  });
});

const nine = (days: number, milliseconds: number, fix: number) =>
  Buffer.concat([five(1, 2), int32(days), int32(milliseconds), uint(130, 2), uint(fix, 2)]);
const newer = (...nines: Buffer[]) =>
  stream(
    keyedText('TYPE', 'c', 'lllllllSS'),
    keyed('SCAL', 'l', 4, ...[10_000_000, 10_000_000, 1000, 1000, 100, 1, 1000, 100, 1].map(int32)),
    keyed('GPS9', '?', 32, ...nines),
  );

test('the newer form counts days from the first of 2000, and a fix for each position', () => {
  // 2025-05-06 is day 9257: 25 years of 365 days, 7 leap days, and 125 days of 2025.
  const reading = read(payloadAt(0, newer(nine(9257, 25_689_000, 0), nine(9257, 25_689_500, 3))));
  expect(reading.track?.samples).toMatchObject([{ startSeconds: 0.5, endSeconds: 1, latitude: 1 }]);
  expect(reading.refusals).toMatchObject([{ raw: 'GPS9 with a fix of 0' }]);
  // 25,689.5 s are 07:08:09.5, half a second into the clip.
  expect(factOf(reading, 'recordedAt')).toBe('2025-05-06T07:08:09Z');
});

test("an aircraft's own position gives its height over the start and its speed over ground, and no heading", () => {
  // As MAVLink's message 33 has it: 300 cm/s to the north and 400 to the east are 5 m/s.
  const flown = Buffer.concat([
    uint(146_071, 4),
    ...[10_000_000, 20_000_000, 15_711, 2003].map(int32),
    ...[300, 400, 65_528, 33_156].map((each) => uint(each, 2)),
  ]);
  const scales = [1000, 10_000_000, 10_000_000, 1000, 1000, 100, 100, 100, 100].map(int32);
  const bytes = stream(
    keyedText('TYPE', 'c', 'LllllsssS'),
    keyed('SCAL', 'l', 4, ...scales),
    keyed('GLPI', '?', 28, flown),
  );
  expect(read(payloadAt(0, bytes)).track?.samples).toEqual([
    {
      startSeconds: 0,
      endSeconds: 1,
      latitude: 1,
      longitude: 2,
      altitudeMetres: 15.711,
      heightOverStartMetres: 2.003,
      groundSpeedMetresPerSecond: 5,
    },
  ]);
});

test('the altitude of the older form is over the ellipsoid, unless the sea is named', () => {
  const sourceOf = (bytes: Buffer) =>
    read(payloadAt(0, bytes)).sightings.find(({ fact }) => fact === 'altitudeMetres')?.source;
  expect(sourceOf(place({}, five(1, 2)))).toBe('test, first sample (over the ellipsoid)');
  const named = stream(keyedText('GPSA', 'F', 'MSLV'), scale, keyed('GPS5', 'l', 20, five(1, 2)));
  expect(sourceOf(named)).toBe('test, first sample');
});

test('the last payload lasts no longer than the clip, and its values share that time', () => {
  const { track, refusals } = parseGpmd([payloadAt(1, shutters(0.004, 0.002))], {
    source,
    durationSeconds: 1.5,
  });
  expect(track?.samples.map(({ startSeconds, endSeconds }) => [startSeconds, endSeconds])).toEqual([
    [1, 1.25],
    [1.25, 1.5],
  ]);
  expect(refusals).toEqual([]);
});

test('a first fix at ten seconds tells when the first frame was taken', () => {
  const reading = read(
    payloadAt(0, place({ fix: 0 }, five(1, 2))),
    payloadAt(10, place({}, five(1, 2))),
    payloadAt(11, place({ time: '250506070810.400' }, five(1, 2))),
  );
  expect(factOf(reading, 'recordedAt')).toBe('2025-05-06T07:07:59Z');
  expect(reading.sightings.find(({ fact }) => fact === 'recordedAt')?.source).toBe(
    'test, GPS time of the first fix, less the 10.0 s of the clip before it',
  );
});

test('a clock that runs at another speed than the clip tells nothing of its beginning', () => {
  const reading = read(
    payloadAt(10, place({}, five(1, 2))),
    payloadAt(11, place({ time: '250506070839.400' }, five(1, 2))),
  );
  expect(factOf(reading, 'recordedAt')).toBeUndefined();
  expect(reading.refusals).toMatchObject([{ what: 'recordedAt' }]);
});

test.each(['250231070809.400', '', '999999999999.999', 'yesterday, at six'])('"%s" is no time', (time) => {
  expect(factOf(read(payloadAt(0, place({ time }, five(1, 2)))), 'recordedAt')).toBeUndefined();
});

test('an exposure that cannot be is refused once, and the others are read', () => {
  const { track, refusals } = read(payloadAt(0, shutters(0, 0.004, -1, 0.004)));
  expect(track?.samples.map(({ startSeconds }) => startSeconds)).toEqual([0.25, 0.75]);
  expect(refusals).toMatchObject([{ what: 'exposureSeconds' }, { what: 'exposureSeconds' }]);
});

test('a track of the same name with data of another kind counts as not read, one without exposures as read', () => {
  expect(read(payloadAt(0, Buffer.from('$GPRMC,070809,A,4712.375,S'))).unreadTrack).toBe(
    'a data track (gpmd)',
  );
  expect(read(payloadAt(0, stream(keyed('TMPC', 'f', 4, float32(25))))).unreadTrack).toBeUndefined();
});

test('a scale of nought gives no number, and an unscaled position is refused', () => {
  const nought = keyed('SCAL', 'l', 4, int32(0));
  expect(read(payloadAt(0, stream(nought, keyed('GPS5', 'l', 20, five(1, 2))))).track).toBeUndefined();
  const { refusals } = read(payloadAt(0, stream(keyed('GPS5', 'l', 20, five(1, 2)))));
  expect(refusals).toContainEqual(expect.objectContaining({ what: 'latitude', raw: '10000000' }));
});

const folder = fileURLToPath(new URL('../../../../shared/real-media/telemetry/', import.meta.url));
const payload = (name: string) => read(payloadAt(0, readFileSync(`${folder}${name}`), 1.001));

// Values as a general-purpose reader shows them for the same bytes.
test.skipIf(!existsSync(folder))(
  'a real payload without a fix tells exposures and sensitivities only',
  () => {
    const { track, sightings, refusals } = payload('kind-a.bin');
    expect(track?.samples).toHaveLength(30);
    expect(track?.samples[0]).toEqual({
      startSeconds: 0,
      endSeconds: expect.closeTo(1.001 / 30, 12),
      exposureSeconds: expect.closeTo(0.00833229068666697, 9),
      iso: 181,
    });
    expect(sightings.map(({ fact }) => fact)).toEqual(['exposureSeconds', 'iso', 'whiteBalance']);
    expect(refusals).toMatchObject([{ what: 'latitude', raw: 'GPSF 0' }]);
  },
);

test.skipIf(!existsSync(folder))(
  'a real payload with a fix tells exposure, gain, place, speed and time',
  () => {
    const { track, sightings, refusals } = payload('kind-b.bin');
    const bytes = readFileSync(`${folder}kind-b.bin`);
    const first = (element: number) => bytes.readInt32BE(bytes.indexOf('GPS5') + 8 + 4 * element);
    expect(refusals).toEqual([]);
    expect(track?.samples).toHaveLength(31);
    expect(track?.samples[0]).toMatchObject({
      iso: 141.436,
      latitude: first(0) / 1e7,
      longitude: first(1) / 1e7,
      altitudeMetres: first(2) / 1000,
      groundSpeedMetresPerSecond: first(3) / 1000,
    });
    expect(track?.samples[0]?.exposureSeconds).toBeCloseTo(0.000117638890515082, 10);
    expect(sightings).toContainEqual(
      expect.objectContaining({ fact: 'recordedAt', value: '2018-03-23T17:25:37Z' }),
    );
  },
);
