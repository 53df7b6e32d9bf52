import { expect, test } from 'vitest';
import { parseCamm } from '../../../src/reading/timed/camm.ts';

// Packets after the published specification of camera motion metadata: little-endian, from memory.
function packet(type: number, write: (body: Buffer) => void, length = 60): Buffer {
  const bytes = Buffer.alloc(4 + length);
  bytes.writeUInt16LE(type, 2);
  write(bytes.subarray(4));
  return bytes;
}
const exposure = (nanoseconds: number, skew = 0): Buffer =>
  packet(1, (body) => {
    body.writeInt32LE(nanoseconds, 0);
    body.writeInt32LE(skew, 4);
  });
const fix = (kind: number): Buffer =>
  packet(6, (body) => {
    body.writeInt32LE(kind, 8);
    body.writeDoubleLE(-47.5, 12);
    body.writeDoubleLE(8.25, 20);
    body.writeFloatLE(12.5, 28);
  });
const at = (startSeconds: number, bytes: Buffer) => ({
  startSeconds,
  endSeconds: startSeconds + 0.001,
  bytes,
});

/** What one packet says, without its time. */
function read(bytes: Buffer) {
  const { track, refusals } = parseCamm([at(0, bytes)], { source: 'test' });
  const {
    startSeconds: _,
    endSeconds: __,
    ...facts
  } = track?.samples[0] ?? { startSeconds: 0, endSeconds: 0 };
  return { facts, refusals };
}

test('type 1 is an exposure time and a skew in nanoseconds', () => {
  const { facts } = read(exposure(4_000_000, 11_000_000));
  expect(facts.exposureSeconds).toBeCloseTo(1 / 250, 12);
  expect(facts.rollingShutterSkewSeconds).toBeCloseTo(0.011, 12);
});

test('an exposure of nought or less is refused, and one of a second is read', () => {
  expect(read(exposure(-5))).toMatchObject({
    facts: {},
    refusals: [{ what: 'exposureSeconds' }],
  });
  expect(read(exposure(0)).refusals).toHaveLength(1);
  expect(read(exposure(1_000_000_000)).facts.exposureSeconds).toBeCloseTo(1, 12);
});

test('a fix without satellites is no position, and one in two dimensions has no altitude', () => {
  expect(read(fix(0)).facts).toEqual({});
  expect(read(fix(2)).facts).toEqual({ latitude: -47.5, longitude: 8.25 });
  expect(read(fix(3)).facts).toEqual({
    latitude: -47.5,
    longitude: 8.25,
    altitudeMetres: 12.5,
  });
});

test.each([0, 2, 3, 4, 7, 99])('type %i says nothing', (type) => {
  expect(read(packet(type, (body) => body.fill(0x3f)))).toEqual({ facts: {}, refusals: [] });
});

test.each([0, 1, 2, 3, 4, 11])('a packet of %i bytes says nothing', (length) => {
  expect(read(exposure(4_000_000).subarray(0, length)).facts).toEqual({});
});

test('frames without a packet stay a gap', () => {
  const times = [0, 0.04, 0.08, 0.4, 0.44];
  const { track } = parseCamm(
    times.map((time) => at(time, exposure(4_000_000))),
    { source: 'test' },
  );
  expect(
    track?.samples.map(({ startSeconds, endSeconds }) => [startSeconds, Number(endSeconds.toFixed(9))]),
  ).toEqual([
    [0, 0.04],
    [0.04, 0.08],
    [0.08, 0.12],
    [0.4, 0.44],
    [0.44, 0.48],
  ]);
});

test('positions alone make a track, and positions among exposures join their frame', () => {
  const alone = parseCamm([at(0, fix(3)), at(1, fix(3))], { source: 'test' });
  expect(alone.track?.samples).toMatchObject([{ endSeconds: 1, latitude: -47.5 }, { endSeconds: 2 }]);
  const both = parseCamm([at(0, exposure(4e6)), at(0.01, fix(3)), at(0.04, exposure(4e6))], {
    source: 'test',
  });
  expect(both.track?.samples).toHaveLength(2);
  expect(both.track?.samples[0]).toMatchObject({ startSeconds: 0, endSeconds: 0.04, latitude: -47.5 });
  expect(both.track?.samples[1]).not.toMatchObject({ latitude: expect.anything() });
});

test('samples beyond the end of the clip are dropped and said once', () => {
  const packets = [0, 0.5, 1, 1.5, 2].map((time) => at(time, exposure(4_000_000)));
  const { track, refusals } = parseCamm(packets, { source: 'test', durationSeconds: 1.25 });
  expect(track?.samples.map(({ startSeconds, endSeconds }) => [startSeconds, endSeconds])).toEqual([
    [0, 0.5],
    [0.5, 1],
    [1, 1.25],
  ]);
  expect(refusals).toEqual([
    {
      what: 'telemetry',
      raw: '2 of 5 samples',
      source: 'test',
      reason: 'lie outside the time that the clip lasts',
    },
  ]);
});
