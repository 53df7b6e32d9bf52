import { describe, expect, test } from 'vitest';
import { bytesSource } from '../../src/containers/byteSource.ts';
import { readExif } from '../../src/reading/exif.ts';
import { sourceOf, valueOf } from './readings.ts';
import { bigTiffBlock, fields, tiffBlock, type BlockParts } from './tiffBlock.ts';

const le = fields(true);
const read = (parts: BlockParts) => readExif(bytesSource(tiffBlock(parts)));
const reasons = (reading: Awaited<ReturnType<typeof readExif>>) =>
  reading.refusals.map(({ what, raw, reason }) => ({ what, raw, reason }));

// Tag numbers and meanings: CIPA DC-008 (Exif 2.32). Expected values are the numbers that the test itself stores.
describe('exposure', () => {
  test.each([
    [1, 50],
    [1, 8000],
    [2, 1],
    [1001, 60_000],
    [10, 500],
  ])('ExposureTime %i/%i is their ratio in seconds, in both byte orders', async (numerator, denominator) => {
    for (const littleEndian of [true, false]) {
      const exif = [fields(littleEndian).rational(0x829a, numerator, denominator)];
      const reading = await read({ littleEndian, exif });
      expect(valueOf(reading, 'exposureSeconds')).toBe(numerator / denominator);
    }
  });

  // APEX: t = 2^-Tv; 7.643856 is the Tv of 1/200 (log2 200, Exif annex C rounding).
  test('ShutterSpeedValue stands in where ExposureTime is missing, and says so', async () => {
    const reading = await read({ exif: [le.signedRational(0x9201, 7_643_856, 1_000_000)] });
    expect(valueOf(reading, 'exposureSeconds')).toBeCloseTo(1 / 200, 8);
    expect(sourceOf(reading, 'exposureSeconds')).toBe('EXIF ShutterSpeedValue');
  });

  test('an absurd exposure is refused with its raw value', async () => {
    const reading = await read({ exif: [le.rational(0x829a, 4_294_967_295, 1)] });
    expect(valueOf(reading, 'exposureSeconds')).toBeUndefined();
    expect(reasons(reading)).toEqual([
      { what: 'exposureSeconds', raw: '4294967295', reason: expect.stringContaining('86400') as string },
    ]);
  });

  test.each([
    [0, 1],
    [1, 0],
    [86_401, 1],
  ])('an exposure of %i/%i s is refused', async (numerator, denominator) => {
    const reading = await read({ exif: [le.rational(0x829a, numerator, denominator)] });
    expect(valueOf(reading, 'exposureSeconds')).toBeUndefined();
    expect(reading.refusals).toHaveLength(1);
    expect(reading.refusals[0]?.raw).not.toBe('Infinity');
  });

  test('0/0 is how writers say unknown: no value and no complaint', async () => {
    const exif = [le.rational(0x829a, 0, 0), le.rational(0x829d, 0, 0), le.rational(0x920a, 0, 1)];
    const reading = await read({ exif });
    expect(reading.sightings).toEqual([]);
    expect(reading.refusals).toEqual([]);
  });

  test('ApertureValue stands in where FNumber is unknown', async () => {
    // Av 6 is f/8 (CIPA DC-008 annex C).
    const reading = await read({ exif: [le.rational(0x829d, 0, 1), le.rational(0x9202, 6, 1)] });
    expect(valueOf(reading, 'fNumber')).toBe(8);
    expect(sourceOf(reading, 'fNumber')).toBe('EXIF ApertureValue');
  });

  test('a negative bias is negative, whichever rational type stores it', async () => {
    for (const field of [le.signedRational(0x9204, -1, 3), le.rational(0x9204, -1, 3)]) {
      expect(valueOf(await read({ exif: [field] }), 'exposureBiasStops')).toBeCloseTo(-1 / 3, 12);
    }
  });

  test('a composite picture is marked in the source of its exposure', async () => {
    const reading = await read({ exif: [le.rational(0x829a, 1, 50), le.short(0xa460, 3)] });
    expect(valueOf(reading, 'exposureSeconds')).toBe(0.02);
    expect(sourceOf(reading, 'exposureSeconds')).toContain('several exposures');
  });
});

describe('sensitivity', () => {
  test('of an array the first value counts', async () => {
    expect(valueOf(await read({ exif: [le.short(0x8827, 400, 800)] }), 'iso')).toBe(400);
  });

  test.each([
    ['standard output sensitivity', 1, 102_400],
    ['recommended exposure index', 2, 204_800],
    ['ISO speed', 3, 409_600],
  ])('65535 is resolved by SensitivityType: %s', async (_, type, iso) => {
    const wide = [le.long(0x8831, 102_400), le.long(0x8832, 204_800), le.long(0x8833, 409_600)];
    const reading = await read({ exif: [le.short(0x8827, 65_535), le.short(0x8830, type), ...wide] });
    expect(valueOf(reading, 'iso')).toBe(iso);
  });

  test('65535 alone is refused', async () => {
    const reading = await read({ exif: [le.short(0x8827, 65_535)] });
    expect(valueOf(reading, 'iso')).toBeUndefined();
    expect(reasons(reading)).toEqual([{ what: 'iso', raw: '65535', reason: expect.any(String) as string }]);
  });
});

describe('time', () => {
  test.each([
    ['2026:05:14 07:08:09', '007', '+02:00', '2026-05-14T07:08:09.007+02:00'],
    ['2026:05:14 07:08:09', '', '-03:30', '2026-05-14T07:08:09-03:30'],
    ['2026:05:14 07:08:09', '5', '', '2026-05-14T07:08:09.5'],
    ['2024:02:29 23:59:59', '', '+99:00', '2024-02-29T23:59:59'],
  ])('%s, fraction "%s", offset "%s" is %s', async (date, subSeconds, offset, expected) => {
    const exif = [le.ascii(0x9003, date), le.ascii(0x9011, offset), le.ascii(0x9291, subSeconds)];
    expect(valueOf(await read({ exif }), 'recordedAt')).toBe(expected);
  });

  test.each(['    :  :     :  :  ', '0000:00:00 00:00:00', ''])(
    'blank date "%s" is unknown',
    async (date) => {
      const reading = await read({ exif: [le.ascii(0x9003, date)] });
      expect(reading.sightings).toEqual([]);
      expect(reading.refusals).toEqual([]);
    },
  );

  test.each(['2026:13:01 00:00:00', '2026:02:30 00:00:00', '2026:05:14 24:00:00', 'yesterday'])(
    '"%s" is refused',
    async (date) => {
      const reading = await read({ exif: [le.ascii(0x9003, date)] });
      expect(valueOf(reading, 'recordedAt')).toBeUndefined();
      expect(reasons(reading)).toEqual([
        { what: 'recordedAt', raw: date, reason: expect.any(String) as string },
      ]);
    },
  );
});

describe('position', () => {
  const position = (latitude: string, longitude: string) => [
    le.ascii(0x01, latitude),
    le.rational(0x02, 47, 1, 30, 1, 36, 1),
    le.ascii(0x03, longitude),
    le.rational(0x04, 8, 1, 15, 1, 0, 1),
  ];

  test.each([
    ['N', 'E', 47.51, 8.25],
    ['S', 'W', -47.51, -8.25],
  ])('47° 30′ 36″ %s, 8° 15′ %s is %d, %d', async (north, east, latitude, longitude) => {
    const reading = await read({ gps: position(north, east) });
    expect(valueOf(reading, 'latitude')).toBeCloseTo(latitude, 10);
    expect(valueOf(reading, 'longitude')).toBeCloseTo(longitude, 10);
  });

  test.each(['', 's', 'North'])('with "%s" for a hemisphere there is no position', async (letter) => {
    const reading = await read({ gps: position(letter, 'E') });
    expect(valueOf(reading, 'latitude')).toBeUndefined();
    expect(valueOf(reading, 'longitude')).toBeUndefined();
    expect(reasons(reading)).toHaveLength(1);
  });

  test('coordinates of one and of two parts are whole coordinates', async () => {
    const gps = [
      le.ascii(0x01, 'S'),
      le.rational(0x02, 475_080, 10_000),
      le.ascii(0x03, 'W'),
      le.rational(0x04, 8, 1, 1575, 100),
    ];
    const reading = await read({ gps });
    expect(valueOf(reading, 'latitude')).toBe(-47.508);
    expect(valueOf(reading, 'longitude')).toBeCloseTo(-8.2625, 12);
  });

  test('0, 0 is what a receiver without a fix writes', async () => {
    const zero = [0, 1, 0, 1, 0, 1];
    const gps = [
      le.ascii(0x01, 'N'),
      le.rational(0x02, ...zero),
      le.ascii(0x03, 'E'),
      le.rational(0x04, ...zero),
    ];
    const reading = await read({ gps });
    expect(reading.sightings).toEqual([]);
    expect(reading.refusals).toHaveLength(1);
  });

  test.each([
    [0, 12.5],
    [1, -12.5],
  ])('altitude reference %i makes it %d m', async (reference, metres) => {
    const reading = await read({ gps: [le.byte(0x05, reference), le.rational(0x06, 125, 10)] });
    expect(valueOf(reading, 'altitudeMetres')).toBe(metres);
  });

  test('the heading says which north it counts from', async () => {
    const reading = await read({ gps: [le.ascii(0x10, 'M'), le.rational(0x11, 27_050, 100)] });
    expect(valueOf(reading, 'headingDegrees')).toBe(270.5);
    expect(sourceOf(reading, 'headingDegrees')).toBe('EXIF GPSImgDirection (magnetic north)');
  });
});

describe('where the directories lie', () => {
  const exif = [le.rational(0x829a, 1, 50), le.ascii(0x9003, '2026:05:14 07:08:09')];
  const gps = [le.byte(0x05, 1), le.rational(0x06, 125, 10)];

  test.each([3, 4, 9, 13] as const)('is read from an integer of type %i', async (pointerType) => {
    const reading = await read({ exif, gps, pointerType });
    expect(valueOf(reading, 'exposureSeconds')).toBe(0.02);
    expect(valueOf(reading, 'altitudeMetres')).toBe(-12.5);
    expect(reading.refusals).toEqual([]);
  });

  test.each([
    ['negative', [{ tag: 0x8825, type: 9, count: 1, bytes: le.integer(-8, 4) }]],
    ['a fraction', [le.rational(0x8825, 8, 1)]],
    ['text', [le.ascii(0x8825, '8')]],
  ])('is refused with a word where it is %s', async (_, main) => {
    // Of twins the first counts.
    const reading = await read({ main, exif, gps });
    expect(valueOf(reading, 'exposureSeconds')).toBe(0.02);
    expect(valueOf(reading, 'altitudeMetres')).toBeUndefined();
    expect(reasons(reading)).toEqual([
      { what: 'GPS IFD', raw: expect.any(String) as string, reason: 'it is no place in the block' },
    ]);
  });

  test.each([
    [true, 4],
    [false, 16],
    [true, 17],
    [false, 18],
  ] as const)('of a BigTIFF (little endian: %s) is read from type %i', async (littleEndian, pointerType) => {
    const make = fields(littleEndian);
    const block = bigTiffBlock({
      littleEndian,
      main: [make.ascii(0x0110, 'Aeroform')],
      exif: [
        make.rational(0x829a, 1, 50),
        { tag: 0x8827, type: 16, count: 1, bytes: make.integer(400, 8) },
        make.ascii(0x9003, '2026:05:14 07:08:09'),
      ],
      gps: [make.byte(0x05, 1), make.rational(0x06, 125, 10)],
      pointerType,
    });
    const reading = await readExif(bytesSource(block));
    expect(valueOf(reading, 'camera')).toBe('Aeroform');
    expect(valueOf(reading, 'exposureSeconds')).toBe(0.02);
    expect(valueOf(reading, 'iso')).toBe(400);
    expect(valueOf(reading, 'recordedAt')).toBe('2026-05-14T07:08:09');
    expect(valueOf(reading, 'altitudeMetres')).toBe(-12.5);
    expect(reading.refusals).toEqual([]);
  });
});

describe('text', () => {
  test('is cut at its first NUL, and Latin-1 where it is not UTF-8', async () => {
    const reading = await read({ main: [le.ascii(0x010f, 'A\xebro\0junk'), le.ascii(0x0110, 'One')] });
    expect(valueOf(reading, 'camera')).toBe('Aëro One');
  });

  test('a model that opens with its maker is not doubled', async () => {
    const reading = await read({ main: [le.ascii(0x010f, 'Aero'), le.ascii(0x0110, 'AERO One')] });
    expect(valueOf(reading, 'camera')).toBe('AERO One');
  });

  test('Exif 3.0 UTF-8 text (type 129) is text', async () => {
    const bytes = Buffer.from('Ærø\0');
    const reading = await read({ main: [{ tag: 0x0110, type: 129, count: bytes.length, bytes }] });
    expect(valueOf(reading, 'camera')).toBe('Ærø');
  });
});

describe('damage', () => {
  test('a value area that was cut off yields no value and says so', async () => {
    const block = tiffBlock({ exif: [le.rational(0x829a, 1, 200), le.ascii(0x9003, '2026:05:14 07:08:09')] });
    const reading = await readExif(bytesSource(block.subarray(0, block.length - 12)));
    expect(valueOf(reading, 'exposureSeconds')).toBe(1 / 200);
    expect(valueOf(reading, 'recordedAt')).toBeUndefined();
    expect(reasons(reading)).toEqual([
      {
        what: 'DateTimeOriginal',
        raw: 'tag 0x9003',
        reason: 'its value does not lie wholly inside the block',
      },
    ]);
  });

  test('a directory that was cut off is refused whole', async () => {
    const block = tiffBlock({ exif: [le.short(0x8827, 100), le.short(0x8822, 1)] });
    const reading = await readExif(bytesSource(block.subarray(0, 8 + 30 + 20)));
    expect(reading.sightings).toEqual([]);
    expect(reading.refusals.map((each) => each.what)).toContain('directory');
  });

  test('a cut BigTIFF and foreign bytes are refused', async () => {
    for (const head of ['II\x2b\0\x08\0\0\0', 'XX\x2a\0\x08\0\0\0', 'II']) {
      const reading = await readExif(bytesSource(Buffer.from(head, 'latin1')));
      expect(reading.refusals).toHaveLength(1);
    }
  });
});
