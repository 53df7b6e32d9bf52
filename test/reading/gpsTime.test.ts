import { describe, expect, test } from 'vitest';
import { clockTime } from '../../src/reading/clockTime.ts';
import { mergeFacts } from '../../src/reading/mergeFacts.ts';
import { readStillBytes, sourceOf, valueOf } from './readings.ts';
import { exifSegment, fields, jpegFile, jpegSegment, tiffBlock } from './tiffBlock.ts';

// CIPA DC-008: GPSDateStamp (0x1D) and GPSTimeStamp (7) are UTC; DateTimeOriginal is the camera's own clock. Expected
// offsets are worked out by hand.
const le = fields(true);
const still = (local: string, date: string, time: readonly [number, number, number], offset = '') =>
  jpegFile(
    exifSegment(
      tiffBlock({
        exif: [le.ascii(0x9003, local), ...(offset === '' ? [] : [le.ascii(0x9011, offset)])],
        gps: [le.rational(0x07, ...time.flatMap((part) => [part, 1])), le.ascii(0x1d, date)],
      }),
    ),
  );

describe('the time of the receiver', () => {
  test.each([
    ['2026:05:14 07:08:09', '2026:05:14', [5, 8, 9], '2026-05-14T07:08:09+02:00'],
    ['2026:05:14 07:08:09', '2026:05:14', [5, 6, 20], '2026-05-14T07:08:09+02:00'],
    ['2026:05:14 23:30:00', '2026:05:15', [2, 59, 0], '2026-05-14T23:30:00-03:30'],
    ['2026:05:15 00:45:30', '2026:05:14', [19, 0, 0], '2026-05-15T00:45:30+05:45'],
    ['2026:01:01 13:59:00', '2026:01:01', [0, 0, 0], '2026-01-01T13:59:00+14:00'],
  ] as const)('gives %s its zone: at %s %j it is %s', async (local, date, time, expected) => {
    const reading = await readStillBytes(still(local, date, time));
    expect(valueOf(reading, 'recordedAt')).toBe(expected);
    expect(sourceOf(reading, 'recordedAt')).toBe('EXIF DateTimeOriginal, zone by GPS time');
    expect(reading.refusals).toEqual([]);
  });

  test.each([
    ['2026:05:14 07:08:09', '2026:05:14', [5, 5, 0], 'no whole quarter-hours'],
    ['2026:05:14 21:08:09', '2026:05:14', [5, 8, 9], 'no zone is so far'],
    ['2026:05:14 07:08:09', '2026:05:11', [5, 8, 9], 'no zone is so far'],
  ] as const)('gives %s none at %s %j: %s', async (local, date, time, reason) => {
    const reading = await readStillBytes(still(local, date, time));
    expect(valueOf(reading, 'recordedAt')).toBe('2026-05-14T07:08:09'.replace('07', local.slice(11, 13)));
    expect(reading.refusals).toEqual([
      {
        what: 'recordedAt',
        raw: `${date} ${time.join(':')}`,
        source: 'EXIF GPSDateStamp and GPSTimeStamp',
        reason: expect.stringContaining(reason) as string,
      },
    ]);
  });

  test('has no say where an offset was recorded', async () => {
    const reading = await readStillBytes(still('2026:05:14 07:08:09', '2026:05:14', [1, 1, 1], '+02:00'));
    expect(valueOf(reading, 'recordedAt')).toBe('2026-05-14T07:08:09+02:00');
    expect(sourceOf(reading, 'recordedAt')).toBe('EXIF DateTimeOriginal');
    expect(reading.refusals).toEqual([]);
  });

  test.each([
    ['', [5, 8, 9]],
    ['2026:13:14', [5, 8, 9]],
    ['2026:05:14', [24, 8, 9]],
  ] as const)('is none where it is "%s" %j', async (date, time) => {
    const reading = await readStillBytes(still('2026:05:14 07:08:09', date, time));
    expect(valueOf(reading, 'recordedAt')).toBe('2026-05-14T07:08:09');
    expect(reading.refusals).toEqual([]);
  });

  const xmp = (properties: string) =>
    jpegSegment(
      0xe1,
      Buffer.from(
        'http://ns.adobe.com/xap/1.0/\0<rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">' +
          `<rdf:Description xmlns:exif="http://ns.adobe.com/exif/1.0/" xmlns:any="urn:any">${properties}` +
          '</rdf:Description></rdf:RDF>',
      ),
    );

  test.each([
    ['<exif:GPSTimeStamp>2026-05-14T05:08:09Z</exif:GPSTimeStamp>'],
    ['<any:UTCTime>2026:05:14 05:08:09</any:UTCTime>'],
  ])('in XMP gives the zone of the time in EXIF: %s', async (property) => {
    const exif = exifSegment(tiffBlock({ exif: [le.ascii(0x9003, '2026:05:14 07:08:09')] }));
    const reading = await readStillBytes(jpegFile(exif, xmp(property)));
    expect(valueOf(reading, 'recordedAt')).toBe('2026-05-14T07:08:09+02:00');
  });
});

test('a still with a zone by the receiver compares with one of the same clock without a fix', async () => {
  const clocks = await Promise.all(
    [still('2026:05:14 07:08:09', '2026:05:14', [5, 8, 9]), still('2026:05:14 07:08:12', '', [0, 0, 0])].map(
      async (bytes) => {
        const facts = mergeFacts((await readStillBytes(bytes)).sightings);
        return clockTime({ path: 'A.JPG', kind: 'still', sizeBytes: 1, facts, refusals: [], sidecars: [] });
      },
    ),
  );
  expect(clocks[0]!.hasOffset).toBe(clocks[1]!.hasOffset);
  expect(clocks[1]!.atSeconds - clocks[0]!.atSeconds).toBe(3);
});
