import { describe, expect, test } from 'vitest';
import { momentOf } from '../../src/domain/localTime.ts';
import { mergeReadings } from '../../src/reading/mergeReadings.ts';
import { clockTime } from '../../src/reading/recordedTime.ts';
import { sightedValue, sighting } from '../../src/reading/sighting.ts';
import { parseTelemetryText } from '../../src/reading/textTracks.ts';
import { namedZone, zoneOf } from '../../src/reading/timeZone.ts';
import { mergedFacts, readStillBytes, sourceOf, valueOf } from './readings.ts';
import { exifSegment, fields, jpegFile, jpegSegment, tiffBlock } from './tiffBlock.ts';

/** A clip of 90 s whose text and container hold these times. */
function recordedAt(local: string, container: string, longitude?: number) {
  const sightings = [
    sighting('recordedAt', local, 'timed-track', 'text track 1'),
    sighting('recordedAt', container, 'container-tag', 'container tag creation_time'),
    sighting('durationSeconds', 90, 'stream', 'stream duration'),
    ...(longitude === undefined ? [] : [sighting('longitude', longitude, 'timed-track', 'text track 1')]),
  ];
  const { facts, refusals } = mergeReadings([{ sightings, refusals: [] }]);
  return {
    value: facts.recordedAt?.value,
    source: facts.recordedAt?.source,
    refused: refusals.map(({ raw }) => raw),
  };
}

describe("the container's clock gives the zone of a text's local time", () => {
  // Worked by hand: 18:22:41 less 01:22:30 is 17 h 0 min 11 s before, a zone of -7 h at 121.7 degrees west.
  test.each([
    ['2024-07-09T18:22:41.183', '2024-07-10T01:22:30Z', -121.7, '2024-07-09T18:22:41.183-07:00'],
    // Written at the end of the clip.
    ['2024-07-09T18:22:41', '2024-07-10T01:24:11Z', -121.7, '2024-07-09T18:22:41-07:00'],
    ['2024-07-09T12:00:00', '2024-07-09T06:15:00Z', 85.3, '2024-07-09T12:00:00+05:45'],
    ['2024-07-09T12:00:00', '2024-07-09T12:00:02Z', -3.2, '2024-07-09T12:00:00+00:00'],
    ['2024-07-09T12:00:00', '2024-07-09T10:00:00Z', 13.4, '2024-07-09T12:00:00+02:00'],
  ])('%s beside %s at %f degrees', (local, container, longitude, zoned) => {
    expect(recordedAt(local, container, longitude)).toEqual({
      value: zoned,
      source: 'text track 1, zone by container tag creation_time',
      refused: [],
    });
  });
});

describe("the text's local time stays without a zone", () => {
  test.each([
    // Local time in the container as well, far from longitude 0.
    ['2024-07-09T18:22:41', '2024-07-09T18:22:41Z', -121.7],
    // Seven minutes are left over.
    ['2024-07-09T18:22:41', '2024-07-10T01:29:41Z', -121.7],
    // A zone, and not that of the place.
    ['2024-07-09T18:22:41', '2024-07-09T16:22:41Z', -121.7],
    // Another day.
    ['2024-07-09T18:22:41', '2024-07-11T01:22:41Z', -121.7],
  ])('%s beside %s at %f degrees', (local, container, longitude) => {
    const { value, refused } = recordedAt(local, container, longitude);
    expect(value).toBe(local);
    expect(refused).toEqual([container]);
  });

  test('where no longitude bears it out', () => {
    expect(recordedAt('2024-07-09T18:22:41', '2024-07-10T01:22:41Z').value).toBe('2024-07-09T18:22:41');
  });
});

describe('a clock line is read', () => {
  /** What a text tells of the time, whose first cue begins so many seconds into the clip. */
  async function clockIn(text: string, passedSeconds: number) {
    const start = new Date(passedSeconds * 1000).toISOString().slice(11, 23).replace('.', ',');
    const subRip = `1\n${start} --> 01:00:00,000\n${text}\n`;
    const { sightings, refusals } = await parseTelemetryText(subRip, { source: 'text track 1' });
    return {
      value: sightedValue(sightings, 'recordedAt'),
      refused: refusals.find(({ what }) => what === 'recordedAt'),
    };
  }

  test.each([
    ['2024-07-09 18:22:41.183', 0, '2024-07-09T18:22:41.183'],
    ['2024-07-09 18:22:41,183,402', 0.033, '2024-07-09T18:22:41.150402'],
    ['HOME(-3.2,51.0) 2017.08.05 14:11:51', 1, '2017-08-05T14:11:50'],
    ['2017.8.5 14:11:51', 0, '2017-08-05T14:11:51'],
    ['2024/07/09 00:00:00', 1, '2024-07-08T23:59:59'],
    ['2024-07-09T18:22:41+02:00', 0, '2024-07-09T18:22:41+02:00'],
    ['FrameCnt: 30\n2024-07-09 18:22:41,183,402', 1, '2024-07-09T18:22:40.183402'],
  ])('%s, %f s into the clip', async (text, passed, expected) => {
    expect(await clockIn(text, passed)).toEqual({ value: expected });
  });

  test.each(['2000-00-00 12:00:01', '2024-02-30 10:00:00', '1970-01-01 00:00:10', '2024-07-09 25:00:00'])(
    '%s is refused',
    async (text) => {
      const { value, refused } = await clockIn(text, 0);
      expect(value).toBeUndefined();
      expect(refused).toMatchObject({ raw: text, reason: expect.any(String) as string });
    },
  );

  test.each(['05.08.2017 14:11:51', '12024-07-09 18:22:41', 'v1.2024.07.09', '2024-07.09 18:22:41'])(
    '%s is passed over',
    async (text) => expect(await clockIn(text, 0)).toEqual({}),
  );
});

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
        const facts = mergedFacts((await readStillBytes(bytes)).sightings);
        return clockTime({ path: 'A.JPG', kind: 'still', sizeBytes: 1, facts, refusals: [], sidecars: [] });
      },
    ),
  );
  expect(clocks[0]!.hasOffset).toBe(clocks[1]!.hasOffset);
  expect(clocks[1]!.atSeconds - clocks[0]!.atSeconds).toBe(3);
});

test('a clock that wrote its zone keeps it, whatever its file is called', () => {
  const source = 'XMP sidecar A, zone by hand.xmp exif:DateTimeOriginal';
  const facts = { recordedAt: { value: '2026-05-14T07:08:09+02:00', source } };
  const taken = { path: 'A.JPG', kind: 'still', sizeBytes: 1, facts, refusals: [], sidecars: [] } as const;
  expect(clockTime(taken)?.hasOffset).toBe(true);
});

// Offsets of the IANA time zone database: Berlin an hour ahead of UTC and two in summer, Kathmandu five and three quarters,
// St. John's three and a half behind.
test.each([
  ['Europe/Berlin', Date.UTC(2026, 0, 1), 60],
  ['Europe/Berlin', Date.UTC(2026, 6, 1), 120],
  ['Asia/Kathmandu', Date.UTC(2026, 0, 1), 345],
  ['America/St_Johns', Date.UTC(2026, 0, 1), -210],
  ['UTC', Date.UTC(2026, 0, 1), 0],
])('a clock in %s is known by the name of its zone', (name, atMs, minutes) => {
  expect(namedZone(name)!(atMs)).toBe(minutes);
});

test('a zone that is named wins over the longitude, and is said to', () => {
  const recorded = { recordedAt: '2026-07-01T12:00:00', longitude: 150 };
  expect(momentOf({ ...recorded, zoneOffsetAt: namedZone('Europe/Berlin')! })).toMatchObject({
    offsetMinutes: 120,
    basis: 'named-zone',
  });
  expect(momentOf({ ...recorded, zoneOffsetAt: () => 120 })).toMatchObject({ basis: 'longitude-zone' });
});

test('a name that is no zone is none', () => {
  expect(namedZone('Mars/Olympus')).toBeUndefined();
});

test('what was asked for stands before the notes, and these before the usual zone', () => {
  const [wanted, noted, usual] = ['Asia/Tokyo', 'Asia/Kathmandu', 'Europe/Berlin'].map((name) =>
    namedZone(name)!,
  );
  expect(zoneOf({ zone: wanted, usualZone: usual }, { zone: noted })).toBe(wanted);
  expect(zoneOf({ usualZone: usual }, { zone: noted })).toBe(noted);
  expect(zoneOf({ usualZone: usual }, undefined)).toBe(usual);
});
