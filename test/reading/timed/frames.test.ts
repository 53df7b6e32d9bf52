import { expect, test } from 'vitest';
import { bytesSource } from '../../../src/reading/containers/byteSource.ts';
import { matroskaXmp } from '../../../src/reading/containers/matroska.ts';
import { readMotionJpeg } from '../../../src/reading/timed/motionJpeg.ts';
import { parsePackets, parsePacketPlaces } from '../../../src/reading/timed/packetPlaces.ts';
import { parsePositionSet } from '../../../src/reading/timed/positionSets.ts';
import { uint } from '../isoBoxBytes.ts';
import { exifSegment, fields, jpegFile, tiffBlock } from '../tiffBlock.ts';

const make = fields(true);
const frame = (denominator: number): Buffer =>
  jpegFile(
    exifSegment(
      tiffBlock({
        littleEndian: true,
        main: [make.ascii(0x0110, 'One')],
        exif: [make.rational(0x829a, 1, denominator), make.rational(0x829d, 28, 10)],
        gps: [],
      }),
    ),
  );

/** Frames one behind the other, each shown for 0.04 s and preceded by eight bytes of its container. */
function clip(frames: readonly Buffer[]) {
  const parts = frames.map((bytes) => Buffer.concat([Buffer.alloc(8), bytes]));
  const starts = parts.map((_, at) => Buffer.concat(parts.slice(0, at)).length);
  const places = parts.map((bytes, at) => ({
    startSeconds: at * 0.04,
    endSeconds: (at + 1) * 0.04,
    offset: starts[at]!,
    sizeBytes: bytes.length,
  }));
  return { source: bytesSource(Buffer.concat(parts)), places };
}

test('the EXIF block of each motion-JPEG frame is a sample', async () => {
  const { source, places } = clip([frame(50), frame(50), frame(100)]);
  const { track, sightings } = await readMotionJpeg(source, places, { source: 'test' });
  expect(track?.samples.map(({ exposureSeconds, fNumber }) => [exposureSeconds, fNumber])).toEqual([
    [1 / 50, 2.8],
    [1 / 50, 2.8],
    [1 / 100, 2.8],
  ]);
  expect(sightings).toContainEqual(
    expect.objectContaining({ fact: 'camera', value: 'One', carrier: 'exif' }),
  );
});

test('a motion-JPEG clip whose first frames carry no EXIF is left at that', async () => {
  const { source, places } = clip([...Array.from({ length: 4 }, () => jpegFile()), frame(50)]);
  expect(await readMotionJpeg(source, places, { source: 'test' })).toEqual({ sightings: [], refusals: [] });
});

test('parsePacketPlaces() takes the decoding time where no other is known, and counts from the first frame', () => {
  const list =
    'pts_time=1.5|dts_time=1.4|duration_time=0.04|size=10|pos=100\npts_time=N/A|dts_time=1.54|duration_time=N/A|size=10|pos=200\n' +
    'pts_time=2|dts_time=2|duration_time=0.04|size=10|pos=N/A\n\n';
  expect(parsePacketPlaces(list, 1.5)).toEqual([
    { startSeconds: 0, endSeconds: 0.04, offset: 100, sizeBytes: 10 },
    { startSeconds: 1.54 - 1.5, endSeconds: 1.54 - 1.5, offset: 200, sizeBytes: 10 },
  ]);
});

test('parsePackets() reads the digits of a dump and never its text', () => {
  const data =
    '\n00000000: 3030 3030 3a20 6162 6364 2065 6667 6869  0000: abcd efghi\n00000010: ff                                       .\n';
  const json = JSON.stringify({
    packets: [
      { pts_time: '2.5', data },
      { pts_time: 'N/A', data },
    ],
  });
  expect(parsePackets(json, 2)).toEqual([
    {
      startSeconds: 0.5,
      endSeconds: 0.5,
      bytes: Buffer.concat([Buffer.from('0000: abcd efghi'), uint(255, 1)]),
    },
  ]);
  expect(parsePackets('{"packets": [', 0)).toEqual([]);
});

// MISB ST 0601: tag 13 is latitude over +/- 90 degrees in a signed 32-bit number, 14 longitude over +/- 180.
function positionSet(items: Buffer, sum?: number): Buffer {
  const key = Buffer.from('060e2b34020b01010e01030101000000', 'hex');
  const head = Buffer.concat([key, uint(items.length + (sum === undefined ? 0 : 4), 1), items]);
  return sum === undefined ? head : Buffer.concat([head, Buffer.from([1, 2]), uint(sum, 2)]);
}
const south = Buffer.concat([
  Buffer.from([13, 4, 0xc0, 0, 0, 1]),
  Buffer.from([14, 4, 0x3f, 0xff, 0xff, 0xff]),
]);

test('a set of ST 0601 gives a position', () => {
  const { facts } = parsePositionSet(positionSet(south));
  // -0x3fffffff and 0x3fffffff of 0x7fffffff: half of the range, to within one step.
  expect(facts.latitude).toBeCloseTo(-45, 6);
  expect(facts.longitude).toBeCloseTo(90, 6);
  expect(facts).not.toHaveProperty('altitudeMetres');
});

test('a set with a wrong checksum, an error value or a missing part gives none', () => {
  expect(parsePositionSet(positionSet(south, 0x1234))).toEqual({
    facts: {},
    reason: 'does not match its checksum',
  });
  const error = Buffer.from(south);
  error.set([0x80, 0, 0, 0], 2);
  expect(parsePositionSet(positionSet(error))).toEqual({ facts: {} });
  expect(parsePositionSet(positionSet(south).subarray(0, 24))).toEqual({ facts: {}, reason: 'is cut short' });
});

// RFC 9559: identifiers as they stand there, sizes of one byte with their marker bit.
const element = (id: number, idBytes: number, ...parts: Buffer[]): Buffer => {
  const body = Buffer.concat(parts);
  return Buffer.concat([uint(id, idBytes), uint(0x4000 + body.length, 2), body]);
};
const attachment = (name: string, mediaType: string, data: string): Buffer =>
  element(
    0x61a7,
    2,
    element(0x466e, 2, Buffer.from(name)),
    element(0x4660, 2, Buffer.from(mediaType)),
    element(0x465c, 2, Buffer.from(data)),
  );
const cluster = element(0x1f43b675, 4, Buffer.alloc(300));

test('the XMP attachment of a Matroska file is found by its type or its name, behind the frames', () => {
  const attachments = element(
    0x1941a469,
    4,
    attachment('cover.jpg', 'image/jpeg', 'picture'),
    attachment('a', 'application/rdf+xml', 'first'),
    attachment('b.XMP', 'text/plain', 'second'),
  );
  const head = element(0x1a45dfa3, 4, Buffer.alloc(10));
  const known = Buffer.concat([head, element(0x18538067, 4, cluster, cluster, attachments)]);
  const unknownSize = Buffer.concat([head, uint(0x18538067, 4), uint(0xff, 1), cluster, attachments]);
  for (const file of [known, unknownSize])
    expect(matroskaXmp(bytesSource(file))?.map(String)).toEqual(['first', 'second']);
  expect(matroskaXmp(bytesSource(Buffer.from('RIFF....')))).toBeUndefined();
});
