import fc from 'fast-check';
import { expect, test } from 'vitest';
import { bytesSource } from '../../../src/containers/byteSource.ts';
import { matroskaContents } from '../../../src/containers/matroska.ts';
import { mp4Contents, mp4Keys } from '../../../src/containers/mp4.ts';
import { mp4Samples, mp4Tracks } from '../../../src/containers/mp4Tracks.ts';
import { implausible, isBounded } from '../../../src/reading/recordedNumber.ts';
import type { Reading } from '../../../src/reading/sighting.ts';
import { parseCamm } from '../../../src/reading/timed/camm.ts';
import { parseGpmd } from '../../../src/reading/timed/gpmd.ts';
import { parseMebx } from '../../../src/reading/timed/mebx.ts';
import { readMotionJpeg } from '../../../src/reading/timed/motionJpeg.ts';
import { parseRdd18 } from '../../../src/reading/timed/rdd18.ts';
import { parseSt0601 } from '../../../src/reading/timed/st0601.ts';
import { parsePackets, parsePacketPlaces } from '../../../src/reading/ffprobe.ts';
import { sampleBytes } from '../../../src/reading/timed/timedCarriers.ts';
import { isoBox, isoFullBox, uint } from '../isoBoxBytes.ts';
import { mutated } from '../mutated.ts';
import { exifSegment, fields, jpegFile, tiffBlock } from '../tiffBlock.ts';
import { keyed, keyedNest, keyedText } from './gpmdBytes.ts';
import { movieFile, sampleEntry } from './isoMovie.ts';
import { cameraSet, item, lensSet, mxfFile, picture } from './mxfBytes.ts';

const numRuns = 500;
const context = { source: 'test', framesPerSecond: 24, durationSeconds: 10 };

/** Every number is one that can be, in order, inside the clip. */
function expectSound({ sightings, track }: Reading): void {
  for (const { fact, value } of sightings) {
    if (isBounded(fact)) expect(implausible(fact, value as number), fact).toBeUndefined();
  }
  let last = 0;
  for (const sample of track?.samples ?? []) {
    expect(sample.startSeconds).toBeGreaterThanOrEqual(last);
    expect(sample.endSeconds).toBeGreaterThanOrEqual(sample.startSeconds);
    expect(sample.endSeconds).toBeLessThanOrEqual(10);
    last = sample.startSeconds;
    for (const [fact, value] of Object.entries(sample)) {
      if (value !== undefined && isBounded(fact)) expect(implausible(fact, value), fact).toBeUndefined();
    }
  }
}

const cammExposure = Buffer.concat([Buffer.from([0, 0, 1, 0]), Buffer.from('00093d00c0d8a700', 'hex')]);
const cammFix = Buffer.concat([
  Buffer.from([0, 0, 6, 0]),
  Buffer.alloc(8),
  Buffer.from([3, 0, 0, 0]),
  Buffer.alloc(44, 0x40),
]);
const cammMovie = movieFile({
  entry: sampleEntry('camm'),
  ticksPerSecond: 24,
  samplesPerChunk: 2,
  samples: [cammExposure, cammFix, cammExposure, cammExposure].map((bytes) => ({ ticks: 1, bytes })),
  edits: [
    [100, -1],
    [1000, 0],
  ],
});

const key = (id: number, name: string, type: number): Buffer =>
  isoBox(
    uint(id, 4).toString('latin1'),
    isoBox('keyd', Buffer.from(`mdta${name}`)),
    isoBox('dtyp', uint(0, 4), uint(type, 4)),
  );
const keyTable = isoBox(
  'keys',
  key(1, 'x.exposure-time', 1),
  key(2, 'x.iso', 77),
  key(3, 'x.f-number', 23),
  key(4, 'x.exposure-time-ns', 74),
);
const value = (id: number, bytes: Buffer): Buffer => isoBox(uint(id, 4).toString('latin1'), bytes);
const row = Buffer.concat([
  value(1, Buffer.from('1/50')),
  value(2, uint(100, 4)),
  value(3, Buffer.from('40333333', 'hex')),
  value(4, Buffer.from('00000000003d0900', 'hex')),
]);
const mebxMovie = movieFile({
  entry: sampleEntry('mebx', keyTable),
  ticksPerSecond: 24,
  samples: [row, row, Buffer.alloc(0), row].map((bytes) => ({ ticks: 1, bytes })),
});

const bounds = { sampleBytes: 65_536, trackBytes: 64 << 20 };

/** What the metadata tracks of a movie hold. */
function readMovie(bytes: Buffer): Reading[] {
  const source = bytesSource(bytes);
  const moov = mp4Contents(source)?.moov;
  return (moov === undefined ? [] : mp4Tracks(source, moov)).map((track) => {
    const samples = sampleBytes(source, mp4Samples(source, track).samples, bounds);
    const { start, end } = track.entryBody;
    const entry = source.read(start, Math.min(65_536, end - start));
    return track.entryType === 'mebx' ? parseMebx(entry, samples, context) : parseCamm(samples, context);
  });
}

test('damaged movies with metadata tracks never throw, hang or yield what cannot be', () => {
  expect(readMovie(cammMovie)[0]?.track?.samples).toHaveLength(3);
  expect(readMovie(mebxMovie)[0]?.track?.samples).toHaveLength(3);
  fc.assert(
    fc.property(mutated(cammMovie, mebxMovie), (bytes) => {
      for (const reading of readMovie(bytes)) expectSound(reading);
    }),
    { numRuns },
  );
});

test('damaged rows of timed metadata and damaged key tables never throw', () => {
  const at = (bytes: Buffer) => [{ startSeconds: 0, endSeconds: 1, bytes }];
  fc.assert(
    fc.property(mutated(keyTable), mutated(row), (table, bytes) => {
      expectSound(parseMebx(table, at(bytes), context));
      expectSound(parseMebx(keyTable, at(bytes), context));
    }),
    { numRuns },
  );
});

const scale = (...scales: readonly number[]) => keyed('SCAL', 'l', 4, ...scales.map((each) => uint(each, 4)));
const keyedPayload = keyedNest(
  'DEVC',
  keyedNest('STRM', keyed('SHUT', 'f', 4, Buffer.from('3b83126f', 'hex'), Buffer.from('3b83126f', 'hex'))),
  keyedNest('STRM', keyed('ISOE', 'S', 2, uint(100, 2)), keyed('WBAL', 'S', 2, uint(5600, 2))),
  keyedNest(
    'STRM',
    keyed('GPSF', 'L', 4, uint(3, 4)),
    keyedText('GPSU', 'U', '250506070809.000'),
    scale(10_000_000, 10_000_000, 1000, 1000, 100),
    keyed('GPS5', 'l', 20, Buffer.alloc(20, 1), Buffer.alloc(20, 2)),
  ),
  keyedNest(
    'STRM',
    keyedText('TYPE', 'c', 'lllllllSS'),
    scale(10_000_000, 10_000_000, 1000, 1000, 100, 1, 1000, 100, 1),
    keyed('GPS9', '?', 32, Buffer.concat([Buffer.alloc(30, 1), uint(3, 2)])),
  ),
);

test('damaged telemetry by four-character keys never throws or yields what cannot be', () => {
  const read = (bytes: Buffer, startSeconds = 1): Reading =>
    parseGpmd([{ startSeconds, endSeconds: startSeconds + 1, bytes }], context);
  expect(read(keyedPayload).track?.samples).toHaveLength(2);
  const times = fc.oneof(fc.constant(1), fc.double());
  fc.assert(
    fc.property(mutated(keyedPayload), times, (bytes, startSeconds) => {
      const reading = read(bytes, startSeconds);
      expectSound(reading);
      for (const { fact, value } of reading.sightings)
        if (fact === 'recordedAt') expect(value).toMatch(/^2\d{3}-\d\d-\d\dT\d\d:\d\d:\d\dZ$/);
    }),
    { numRuns: 2000 },
  );
  fc.assert(
    fc.property(fc.uint8Array({ maxLength: 400 }), (bytes) => expectSound(read(Buffer.from(bytes)))),
    { numRuns },
  );
});

test('containers in containers end, however deep, and so do items of no length', () => {
  const deep = Array.from({ length: 200 }).reduce<Buffer>(
    (inner) => keyedNest('STRM', inner),
    keyed('SHUT', 'f', 4, Buffer.from('3b83126f', 'hex')),
  );
  const at = (bytes: Buffer) => [{ startSeconds: 0, endSeconds: 1, bytes }];
  expect(parseGpmd(at(deep), context).track).toBeUndefined();
  const empty = Buffer.concat(Array.from({ length: 100_000 }, () => keyedNest('STRM')));
  expect(parseGpmd(at(empty), context).track).toBeUndefined();
});

test('damaged metadata keys never throw', () => {
  const names = Buffer.concat(
    ['x.iso', 'x.exposure-time'].map((name) =>
      Buffer.concat([uint(8 + name.length, 4), Buffer.from(`mdta${name}`)]),
    ),
  );
  const data = (id: number, type: number, bytes: Buffer): Buffer =>
    isoBox(uint(id, 4).toString('latin1'), isoBox('data', uint(type, 4), uint(0, 4), bytes));
  const meta = isoBox(
    'meta',
    isoFullBox('hdlr', 0, 0, uint(0, 4), Buffer.from('mdta'), Buffer.alloc(13)),
    isoFullBox('keys', 0, 0, uint(2, 4), names),
    isoBox('ilst', data(1, 77, uint(100, 4)), data(2, 1, Buffer.from('1/50'))),
  );
  const moov = isoBox('moov', meta);
  const whole = (bytes: Buffer) => ({ type: 'moov', start: 0, bodyStart: 8, end: bytes.length });
  expect([...mp4Keys(bytesSource(moov), whole(moov))]).toEqual([
    ['x.iso', '100'],
    ['x.exposure-time', '1/50'],
  ]);
  fc.assert(
    fc.property(mutated(moov), (bytes) => {
      const keys = mp4Keys(bytesSource(bytes), whole(bytes));
      expect(keys.size).toBeLessThanOrEqual(2);
    }),
    { numRuns },
  );
});

test('damaged acquisition sets and MXF files never throw', () => {
  const camera = cameraSet(
    item(0x8103, uint(8, 2)),
    item(0x8106, Buffer.concat([uint(24, 4), uint(1, 4)])),
    item(0x8108, uint(10_800, 4)),
    item(0x810b, uint(800, 2)),
    item(0x810e, uint(5600, 2)),
  );
  const frame = Buffer.concat([lensSet(item(0x8000, uint(53_248, 2))), camera, picture]);
  const file = mxfFile(frame, frame, frame);
  fc.assert(
    fc.property(mutated(file), (bytes) => {
      const reading = parseRdd18(bytesSource(bytes), { ...context, playbackFramesPerSecond: 24 });
      expectSound(reading);
      for (const { fact, value: number } of reading.sightings) {
        if (fact === 'recordedFilterStops') expect(number >= 0 && number <= 16).toBe(true);
      }
    }),
    { numRuns },
  );
});

test('damaged motion-JPEG frames never throw', async () => {
  const make = fields(true);
  const frame = jpegFile(
    exifSegment(
      tiffBlock({
        littleEndian: true,
        main: [],
        exif: [make.rational(0x829a, 1, 50), make.rational(0x829d, 28, 10), make.short(0x8827, 400)],
        gps: [],
      }),
    ),
  );
  await fc.assert(
    fc.asyncProperty(mutated(frame), async (bytes) => {
      const places = [0, 1].map((at) => ({
        startSeconds: at,
        endSeconds: at + 1,
        offset: 0,
        sizeBytes: bytes.length,
      }));
      expectSound(await readMotionJpeg(bytesSource(bytes), places, context));
    }),
    { numRuns },
  );
});

test('damaged position sets and lists of packets never throw', () => {
  const key16 = Buffer.from('060e2b34020b01010e01030101000000', 'hex');
  const items = Buffer.from([13, 4, 0xc0, 0, 0, 1, 14, 4, 0x3f, 0xff, 0xff, 0xff, 15, 2, 0x40, 0]);
  const set = Buffer.concat([key16, uint(items.length, 1), items]);
  const lowest = Buffer.concat([set.subarray(0, -2), Buffer.alloc(2)]);
  fc.assert(
    fc.property(mutated(set), (bytes) =>
      expectSound(parseSt0601([{ startSeconds: 0, endSeconds: 1, bytes }], context)),
    ),
    { numRuns },
  );
  expectSound(parseSt0601([{ startSeconds: 0, endSeconds: 1, bytes: lowest }], context));
  const json = Buffer.from('{"packets":[{"pts_time":"1.0","data":"\\n00000000: 060e 2b34  ..+4\\n"}]}');
  const compact = Buffer.from('pts_time=1.5|dts_time=1.4|duration_time=0.04|size=10|pos=100\n');
  fc.assert(
    fc.property(mutated(json), mutated(compact), (packets, places) => {
      for (const { startSeconds } of parsePackets(packets.toString('latin1'), 0))
        expect(startSeconds).not.toBeNaN();
      for (const place of parsePacketPlaces(places.toString('latin1'), 0))
        for (const number of Object.values(place)) expect(number).not.toBeNaN();
    }),
    { numRuns },
  );
});

test('damaged Matroska trees never throw and never give more than they hold', () => {
  const element = (id: number, idBytes: number, ...parts: Buffer[]): Buffer => {
    const body = Buffer.concat(parts);
    return Buffer.concat([uint(id, idBytes), uint(0x4000 + body.length, 2), body]);
  };
  const file = element(
    0x61a7,
    2,
    element(0x466e, 2, Buffer.from('a.xmp')),
    element(0x465c, 2, Buffer.alloc(50, 0x41)),
  );
  const tree = Buffer.concat([
    element(0x1a45dfa3, 4, Buffer.alloc(10)),
    element(0x18538067, 4, element(0x1941a469, 4, file)),
  ]);
  expect(matroskaContents(bytesSource(tree))?.xmp).toHaveLength(1);
  fc.assert(
    fc.property(mutated(tree), (bytes) => {
      for (const packet of matroskaContents(bytesSource(bytes))?.xmp ?? [])
        expect(packet.length).toBeLessThanOrEqual(bytes.length);
    }),
    { numRuns },
  );
});

test('no value of a packet depends on bytes behind it', () => {
  fc.assert(
    fc.property(
      mutated(cammExposure, cammFix, row),
      fc.uint8Array({ minLength: 64, maxLength: 128 }),
      (bytes, foreign) => {
        const inside = Buffer.concat([bytes, foreign]).subarray(0, bytes.length);
        const alone = Buffer.from(bytes);
        const at = (each: Buffer) => [{ startSeconds: 0, endSeconds: 1, bytes: each }];
        expect(parseCamm(at(inside), context)).toEqual(parseCamm(at(alone), context));
        expect(parseSt0601(at(inside), context)).toEqual(parseSt0601(at(alone), context));
        expect(parseMebx(keyTable, at(inside), context)).toEqual(parseMebx(keyTable, at(alone), context));
      },
    ),
    { numRuns },
  );
});
