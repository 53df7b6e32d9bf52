import { expect, test } from 'vitest';
import { bytesSource } from '../../../src/containers/byteSource.ts';
import { berLength } from '../../../src/containers/mxf.ts';
import type { FactValues } from '../../../src/domain/recording.ts';
import { parseRdd18 } from '../../../src/reading/timed/rdd18.ts';
import { uint } from '../isoBoxBytes.ts';
import { cameraSet, item, lensSet, mxfFile, picture } from './mxfBytes.ts';

const context = { source: 'test', framesPerSecond: 25, playbackFramesPerSecond: 25 };
const iso = (value: number): Buffer => cameraSet(item(0x810b, uint(value, 2)));

/** The facts of a clip of one frame with one set. */
function read(set: Buffer, about: Parameters<typeof parseRdd18>[1] = context) {
  const file = bytesSource(mxfFile(cameraSet(set), picture));
  const { sightings } = parseRdd18(file, about);
  return Object.fromEntries(sightings.map(({ fact, value }) => [fact, value])) as Partial<FactValues>;
}

// Item codes of SMPTE RDD 18, looked up in an open parser; the stored values are worked out by hand beside each.
test.each([
  // 2^(8 (1 - 53248 / 65536)) = 2^1.5 = 2.828
  [0x8000, uint(53_248, 2), { fNumber: 2.828 }],
  [0x8000, uint(0, 2), {}],
  [0x8103, uint(1, 2), { recordedFilterStops: 0 }],
  [0x8103, uint(64, 2), { recordedFilterStops: 6 }],
  [0x8103, uint(0, 2), {}],
  [
    0x8106,
    Buffer.concat([uint(24_000, 4), uint(1001, 4)]),
    { frameRate: { numerator: 24_000, denominator: 1001 } },
  ],
  [0x8106, Buffer.alloc(8), {}],
  // Sixtieths of a degree: 172.8 degrees, of pictures at 25 a second.
  [0x8108, uint(10_368, 4), { exposureSeconds: 172.8 / 360 / 25 }],
  [0x8108, uint(21_601, 4), {}],
  [0x8109, Buffer.concat([uint(1, 4), uint(250, 4)]), { exposureSeconds: 1 / 250 }],
  [0x8109, Buffer.concat([uint(1, 4), uint(0, 4)]), {}],
  [0x810b, uint(800, 2), { iso: 800 }],
  [0x810e, uint(5600, 2), { whiteBalance: '5600 K' }],
  [0x810e, uint(5600, 4), {}],
  [0x9999, uint(1, 2), {}],
])('item %i is read', (tag, value, facts) => {
  expect(read(item(tag, value))).toEqual(facts);
});

test('an item that is cut short ends the set', () => {
  const set = Buffer.concat([item(0x810b, uint(800, 2)), item(0x8103, uint(8, 2)).subarray(0, 5)]);
  expect(read(set)).toEqual({ iso: 800 });
});

test('an angle is taken against the capture rate, not the rate of playback', () => {
  const angle = item(0x8108, uint(180 * 60, 4));
  const rate = item(0x8106, Buffer.concat([uint(120, 4), uint(1, 4)]));
  expect(read(Buffer.concat([angle, rate])).exposureSeconds).toBe(1 / 240);
  expect(read(angle).exposureSeconds).toBe(1 / 50);
  expect(read(angle, { ...context, framesPerSecond: undefined })).toEqual({});
});

// Basic encoding rules (ITU-T X.690, 8.1.3).
test.each([
  ['05', { value: 5, fieldBytes: 1 }],
  ['8181', { value: 0x81, fieldBytes: 2 }],
  ['83012345', { value: 0x12345, fieldBytes: 4 }],
  ['80', undefined],
  ['8301', undefined],
  ['ff', undefined],
  ['88ffffffffffffffff', undefined],
])('berLength() of %s', (hex, length) => {
  expect(berLength(Buffer.from(hex, 'hex'))).toEqual(length);
});

test('sets belong to the picture behind them, and a picture without one is a gap', () => {
  const parts = [lensSet(item(0x8000, uint(53_248, 2))), iso(100), picture, picture, iso(200), picture];
  const { track } = parseRdd18(bytesSource(mxfFile(...parts)), context);
  expect(track?.samples).toEqual([
    { startSeconds: 0, endSeconds: 0.04, fNumber: 2.828, iso: 100 },
    { startSeconds: 0.08, endSeconds: 0.12, iso: 200 },
  ]);
});

test('where the first picture stands before the first set, sets belong to the picture in front of them', () => {
  const { track } = parseRdd18(bytesSource(mxfFile(picture, iso(100), picture, iso(200))), context);
  expect(track?.samples).toEqual([
    { startSeconds: 0, endSeconds: 0.04, iso: 100 },
    { startSeconds: 0.04, endSeconds: 0.08, iso: 200 },
  ]);
});

test('a wheel that was turned is said, and the position of most frames counts', () => {
  const wheel = (factor: number): Buffer => cameraSet(item(0x8103, uint(factor, 2)));
  const file = mxfFile(wheel(4), picture, wheel(8), picture, wheel(8), picture);
  const { sightings, refusals, track } = parseRdd18(bytesSource(file), context);
  expect(sightings).toEqual([
    { fact: 'recordedFilterStops', value: 3, carrier: 'timed-track', source: 'test, ND wheel' },
  ]);
  expect(refusals).toMatchObject([{ what: 'recordedFilterStops', raw: '2 in 1 of 3 frames' }]);
  expect(track?.samples.map(({ recordedFilterStops }) => recordedFilterStops)).toEqual([2, 3, 3]);
});

test('without a frame rate there is no time line', () => {
  const { track, refusals } = parseRdd18(bytesSource(mxfFile(iso(100), picture)), { source: 'test' });
  expect(track).toBeUndefined();
  expect(refusals).toMatchObject([{ reason: expect.stringMatching(/frame rate is not known/) as string }]);
});

test('a file without sets in its first frames is not read to its end', () => {
  const many = mxfFile(...Array.from({ length: 2000 }, () => picture), iso(100), picture);
  let bytesRead = 0;
  const counted = bytesSource(many);
  const source = {
    ...counted,
    read: (at: number, length: number) => ((bytesRead = at), counted.read(at, length)),
  };
  expect(parseRdd18(source, context)).toEqual({ sightings: [], refusals: [] });
  expect(bytesRead).toBeLessThan(many.length / 4);
});
