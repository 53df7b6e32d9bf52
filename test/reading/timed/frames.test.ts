import { expect, test } from 'vitest';
import { bytesSource } from '../../../src/containers/byteSource.ts';
import { readMotionJpeg } from '../../../src/reading/timed/motionJpeg.ts';
import { parsePackets, parsePacketPlaces } from '../../../src/reading/ffprobe.ts';
import { parseSt0601 } from '../../../src/reading/timed/st0601.ts';
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

const read = (bytes: Buffer) => parseSt0601([{ startSeconds: 0, endSeconds: 1, bytes }], { source: 'test' });

test('a set of ST 0601 gives a position', () => {
  const [sample] = read(positionSet(south)).track!.samples;
  // -0x3fffffff and 0x3fffffff of 0x7fffffff: half of the range, to within one step.
  expect(sample?.latitude).toBeCloseTo(-45, 6);
  expect(sample?.longitude).toBeCloseTo(90, 6);
  expect(sample).not.toHaveProperty('altitudeMetres');
});

test('a set with a wrong checksum, an error value or a missing part gives none', () => {
  const refused = (reason: string) => ({ sightings: [], refusals: [expect.objectContaining({ reason })] });
  expect(read(positionSet(south, 0x1234))).toEqual(refused('does not match its checksum'));
  const error = Buffer.from(south);
  error.set([0x80, 0, 0, 0], 2);
  expect(read(positionSet(error))).toEqual({ sightings: [], refusals: [] });
  expect(read(positionSet(south).subarray(0, 24))).toEqual(refused('is cut short'));
});
