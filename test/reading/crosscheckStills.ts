import { writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import type { ExifTool } from 'exiftool-vendored';
import sharp from 'sharp';
import { exifSegment, fields, jpegFile, tiffBlock, type BlockParts, type Field } from './tiffBlock.ts';

/** Stills for the cross-check: pictures by an image library, tags by the general-purpose reader's own writer. */

const formats = ['jpg', 'png', 'webp', 'tif', 'avif'] as const;

const position = (latitude: number, longitude: number, altitude: number) => [
  `-GPSLatitude=${Math.abs(latitude)}`,
  `-GPSLatitudeRef=${latitude < 0 ? 'S' : 'N'}`,
  `-GPSLongitude=${Math.abs(longitude)}`,
  `-GPSLongitudeRef=${longitude < 0 ? 'W' : 'E'}`,
  `-GPSAltitude=${Math.abs(altitude)}`,
  `-GPSAltitudeRef=${altitude < 0 ? 1 : 0}`,
];

const inEveryFormat: Readonly<Record<string, readonly string[]>> = {
  exposure: ['-ExifIFD:ExposureTime=0.02', '-FNumber=2.8', '-ISO=100', '-ExposureCompensation=-0.3333333333'],
  place: ['-ExifIFD:ExposureTime=0.001', ...position(-47.5083, -8.2541, -12.5), '-GPSImgDirection=271.5'],
  time: [
    '-ExifIFD:DateTimeOriginal=2026:05:14 07:08:09',
    '-SubSecTimeOriginal=007',
    '-OffsetTimeOriginal=+02:00',
    '-IFD0:Orientation=6',
  ],
  bigEndian: ['-ExifByteOrder=MM', '-ExifIFD:ExposureTime=0.0166833333', '-FNumber=11', '-ISO=3200'],
  xmp: [
    '-XMP-exif:ExposureTime=0.005',
    '-XMP-exif:FNumber=5.6',
    '-XMP-exif:ISO=200',
    '-XMP-exif:GPSLatitude=-21.5',
    '-XMP-exif:GPSLongitude=-31.25',
  ],
  both: [
    '-ExifIFD:ExposureTime=0.004',
    '-ISO=400',
    '-XMP-exif:ExposureTime=0.008',
    '-XMP-exif:ISO=800',
    '-XMP-exif:ExposureCompensation=-1.5',
    '-XMP-exif:DateTimeOriginal=2026:05:14 07:08:09.5+02:00',
  ],
};

const exposures = [
  '30',
  '2',
  '0.5',
  '0.3333333333',
  '0.0666666667',
  '0.01',
  '0.00125',
  '0.000125',
  '0.00003125',
];
const inJpegOnly: Readonly<Record<string, readonly string[]>> = {
  ...Object.fromEntries(exposures.map((time) => [`time-${time}`, [`-ExifIFD:ExposureTime=${time}`]])),
  ...Object.fromEntries([0.95, 1, 1.4, 4, 22, 64].map((f) => [`aperture-${f}`, [`-FNumber=${f}`]])),
  ...Object.fromEntries([50, 125, 12_800, 65_000].map((iso) => [`iso-${iso}`, [`-ISO=${iso}`]])),
  ...Object.fromEntries(
    [-3, -0.5, 0, 0.7, 2].map((bias) => [`bias-${bias}`, [`-ExposureCompensation=${bias}`]]),
  ),
  'shutter-value-only': ['-ShutterSpeedValue=0.005', '-ApertureValue=5.6'],
  north: position(71.2504, -12.5031, 30),
  'near-equator': position(0.0004, -0.0007, 5),
  'date-line': position(-16.8, 179.9999, 0),
  'far-west': position(51.9, -176.6, 1500.25),
  ...Object.fromEntries(
    [0.5, 4.5, 8.8, 24, 600].map((focal) => [`focal-${focal}`, [`-FocalLength=${focal}`]]),
  ),
  ...Object.fromEntries(
    [0, 24, 600].map((focal) => [`focal-on-film-${focal}`, [`-FocalLengthIn35mmFormat=${focal}`]]),
  ),
  ...Object.fromEntries(
    [0, 0.01, 90, 359.99].map((degrees) => [
      `heading-${degrees}`,
      [`-GPSImgDirection=${degrees}`, '-GPSImgDirectionRef=T'],
    ]),
  ),
  ...Object.fromEntries(
    ['5', '50', '123456', '000'].map((part) => [
      `sub-second-${part}`,
      ['-ExifIFD:DateTimeOriginal=2026:05:14 23:59:59', `-SubSecTimeOriginal=${part}`],
    ]),
  ),
  ...Object.fromEntries(
    ['-11:30', '+13:45', '+00:00'].map((offset) => [
      `offset${offset.replace(':', '')}`,
      ['-ExifIFD:DateTimeOriginal=2024:02:29 00:00:00', `-OffsetTimeOriginal=${offset}`],
    ]),
  ),
};

const le = fields(true);
const be = fields(false);
const text = (tag: number, bytes: Buffer): Field => ({ tag, type: 2, count: bytes.length, bytes });
const date = '2026:05:14 07:08:09';
const coordinates = (north: string) => [
  le.ascii(0x01, north),
  le.rational(0x02, 47, 1, 30, 1, 36, 1),
  le.ascii(0x03, 'E'),
  le.rational(0x04, 8, 1, 15, 1, 0, 1),
];

/** Blocks that no writer would make on purpose. */
const handMade: Readonly<Record<string, BlockParts>> = {
  'zero-by-zero': { exif: [le.rational(0x829a, 0, 0), le.rational(0x829d, 0, 0)] },
  'by-zero': { exif: [le.rational(0x829a, 1, 0)] },
  'exposure-zero': { exif: [le.rational(0x829a, 0, 1)] },
  'f-number-zero': { exif: [le.rational(0x829d, 0, 1)] },
  'exposure-absurd': { exif: [le.rational(0x829a, 4_294_967_295, 1)] },
  unreduced: { exif: [le.rational(0x829a, 10, 500), le.rational(0x829d, 2800, 1000)] },
  'ntsc-time': { exif: [le.rational(0x829a, 1001, 60_000)] },
  'negative-denominator': { exif: [le.signedRational(0x9204, 1, -3)] },
  'unsigned-bias': { exif: [le.rational(0x9204, -1, 3)] },
  'signed-iso': { exif: [{ ...le.short(0x8827, 400), type: 8 }] },
  'iso-array': { exif: [le.short(0x8827, 400, 800)] },
  'iso-overflow': { exif: [le.short(0x8827, 65_535), le.short(0x8830, 2), le.long(0x8832, 204_800)] },
  'iso-overflow-alone': { exif: [le.short(0x8827, 65_535)] },
  unsorted: { exif: [le.rational(0x829d, 28, 10), le.short(0x8827, 200), le.rational(0x829a, 1, 50)] },
  'big-endian': { littleEndian: false, exif: [be.rational(0x829a, 1, 50), be.short(0x8827, 100)] },
  'blank-date': { exif: [le.ascii(0x9003, '    :  :     :  :  ')] },
  'zero-date': { exif: [le.ascii(0x9003, '0000:00:00 00:00:00')] },
  'month-13': { exif: [le.ascii(0x9003, '2026:13:14 07:08:09')] },
  'date-without-nul': { exif: [text(0x9003, Buffer.from(date))] },
  'date-with-junk-after-nul': { exif: [text(0x9003, Buffer.from(`${date}\0junk`))] },
  'no-hemisphere': { gps: coordinates('').slice(1) },
  'lower-case-hemisphere': { gps: coordinates('n') },
  south: { gps: coordinates('S') },
  'one-part': { gps: [le.ascii(0x01, 'N'), le.rational(0x02, 47_508, 1000), ...coordinates('N').slice(2)] },
  'null-island': {
    gps: [
      le.ascii(0x01, 'N'),
      le.rational(0x02, 0, 1, 0, 1, 0, 1),
      le.ascii(0x03, 'E'),
      le.rational(0x04, 0, 1, 0, 1, 0, 1),
    ],
  },
  'below-sea-level': { gps: [le.byte(0x05, 1), le.rational(0x06, 125, 10)] },
  'iso-long': { exif: [le.long(0x8827, 25_600)] },
  'wrong-type-for-time': { exif: [le.long(0x829a, 2)] },
  'huge-denominator': { exif: [le.rational(0x829a, 1, 4_294_967_295)] },
  'negative-shutter-value': { exif: [le.signedRational(0x9201, -2, 1)] },
  'no-altitude-reference': { gps: [le.rational(0x06, 125, 10)] },
};

/** Blocks that were cut off: how many bytes are missing at the end. */
const cutOff: Readonly<Record<string, readonly [parts: BlockParts, missing: number]>> = {
  'cut-date': [{ exif: [le.rational(0x829a, 1, 200), le.ascii(0x9003, date)] }, 12],
  'cut-exposure': [{ exif: [le.short(0x8827, 100), le.rational(0x829a, 1, 200)] }, 4],
};

/** Makes every still in the folder and gives their names. */
export async function makeStills(folder: string, exiftool: ExifTool): Promise<string[]> {
  const names: string[] = [];
  for (const [name, args] of Object.entries(inEveryFormat)) {
    for (const format of formats) names.push(await taggedStill(folder, `${name}.${format}`, args, exiftool));
  }
  for (const [name, args] of Object.entries(inJpegOnly)) {
    names.push(await taggedStill(folder, `${name}.jpg`, args, exiftool));
  }
  const blocks = [
    ...Object.entries(handMade).map(([name, parts]) => [name, tiffBlock(parts)] as const),
    ...Object.entries(cutOff).map(
      ([name, [parts, missing]]) => [name, tiffBlock(parts).subarray(0, -missing)] as const,
    ),
  ];
  for (const [name, block] of blocks) {
    await writeFile(join(folder, `${name}.jpg`), jpegFile(exifSegment(block)));
    names.push(`${name}.jpg`);
  }
  return names;
}

async function taggedStill(
  folder: string,
  name: string,
  args: readonly string[],
  exiftool: ExifTool,
): Promise<string> {
  const file = join(folder, name);
  const picture = sharp({
    create: { width: 48, height: 32, channels: 3, background: { r: 90, g: 120, b: 150 } },
  });
  await picture.toFile(file);
  await exiftool.write(file, {}, { writeArgs: ['-overwrite_original', '-n', ...args] });
  return name;
}
