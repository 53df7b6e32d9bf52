import type { Refusal } from '../../domain/recording.ts';
import type { ByteSource } from './byteSource.ts';
import { integerValues, openTiff, tiffDirectory, type Tiff, type TiffEntry } from './tiff.ts';

// Tag numbers and names of CIPA DC-008 (Exif 2.32), tables 4, 7, 8 and 15: only those that become facts.

const pointerTags = { exif: 0x8769, gps: 0x8825 } as const;

const mainTags: ReadonlyMap<number, string> = new Map([
  [0x010f, 'Make'],
  [0x0110, 'Model'],
  [0x0112, 'Orientation'],
]);

const captureTags: ReadonlyMap<number, string> = new Map([
  [0x829a, 'ExposureTime'],
  [0x829d, 'FNumber'],
  [0x8822, 'ExposureProgram'],
  [0x8827, 'PhotographicSensitivity'],
  [0x8830, 'SensitivityType'],
  [0x8831, 'StandardOutputSensitivity'],
  [0x8832, 'RecommendedExposureIndex'],
  [0x8833, 'ISOSpeed'],
  [0x9003, 'DateTimeOriginal'],
  [0x9004, 'DateTimeDigitized'],
  [0x9011, 'OffsetTimeOriginal'],
  [0x9012, 'OffsetTimeDigitized'],
  [0x9201, 'ShutterSpeedValue'],
  [0x9202, 'ApertureValue'],
  [0x9204, 'ExposureBiasValue'],
  [0x9207, 'MeteringMode'],
  [0x920a, 'FocalLength'],
  [0x9291, 'SubSecTimeOriginal'],
  [0x9292, 'SubSecTimeDigitized'],
  [0xa001, 'ColorSpace'],
  [0xa402, 'ExposureMode'],
  [0xa403, 'WhiteBalance'],
  [0xa460, 'CompositeImage'],
]);

const gpsTags: ReadonlyMap<number, string> = new Map([
  [0x01, 'GPSLatitudeRef'],
  [0x02, 'GPSLatitude'],
  [0x03, 'GPSLongitudeRef'],
  [0x04, 'GPSLongitude'],
  [0x05, 'GPSAltitudeRef'],
  [0x06, 'GPSAltitude'],
  [0x07, 'GPSTimeStamp'],
  [0x10, 'GPSImgDirectionRef'],
  [0x11, 'GPSImgDirection'],
  [0x1d, 'GPSDateStamp'],
]);

/** The tags that compactExif() keeps, by directory. */
export const exifTags = { main: mainTags, exif: captureTags, gps: gpsTags } as const;

/** Signed by the standard. Writers that store them unsigned turn -1/3 into 1,431,655,765. */
const signedTags: ReadonlySet<number> = new Set([0x9201, 0x9204]);

interface CompactExif {
  /** A TIFF block of at most some kilobytes: three directories, only tags that become facts. Absent if none stood. */
  readonly block?: Buffer;
  readonly refusals: readonly Refusal[];
}

const maxValueBytes = 1024;
const wideTypes = new Set([16, 17, 18]);
const tooMuch = 0xffff_ffff;
const type = { ascii: 2, rational: 5, undefined: 7, signedRational: 10, long: 4, utf8: 129 };

/**
 * Copies what is wanted of a stranger's TIFF structure into a small block of our own making. The decoder sees only
 * that block: it cannot be led round loops, into foreign bytes or through 65,535 entries. At most three directories
 * are read, whatever they point to.
 */
export function compactExif(source: ByteSource): CompactExif {
  const tiff = openTiff(source);
  if (!tiff) {
    return { refusals: [{ what: 'EXIF', raw: 'header', source: 'EXIF', reason: 'it is no TIFF structure' }] };
  }
  const limits = { label: 'EXIF', maxValueBytes };
  const wanted = new Map([...mainTags, [pointerTags.exif, 'Exif IFD'], [pointerTags.gps, 'GPS IFD']]);
  const main = tiffDirectory(tiff, tiff.firstDirectory, wanted, limits);
  const follow = (tag: number, tags: ReadonlyMap<number, string>) => {
    const pointer = main.entries.get(tag);
    if (pointer === undefined) return undefined;
    const [offset = -1] = integerValues(tiff, pointer);
    // Writers store it in any integer type; a negative one, or a fraction, points nowhere.
    return offset >= 0 ? tiffDirectory(tiff, offset, tags, limits) : noPlace(wanted.get(tag) ?? '', pointer);
  };
  const exif = follow(pointerTags.exif, captureTags);
  const gps = follow(pointerTags.gps, gpsTags);
  const refusals = [main, exif, gps].flatMap((directory) => directory?.refusals ?? []);
  const directories = {
    main: [...main.entries.values()].filter((entry) => mainTags.has(entry.tag)),
    exif: [...(exif?.entries.values() ?? [])],
    gps: [...(gps?.entries.values() ?? [])],
  };
  const isEmpty = Object.values(directories).every((entries) => entries.length === 0);
  return isEmpty ? { refusals } : { block: compactBlock(directories, tiff), refusals };
}

function noPlace(what: string, { type: stored, bytes }: TiffEntry) {
  const raw = `0x${bytes.subarray(0, 8).toString('hex')}, of type ${stored}`;
  return {
    entries: new Map<number, TiffEntry>(),
    refusals: [{ what, raw, source: 'EXIF', reason: 'it is no place in the block' }],
  };
}

function compactBlock(
  directories: { main: TiffEntry[]; exif: TiffEntry[]; gps: TiffEntry[] },
  tiff: Tiff,
): Buffer {
  const { littleEndian } = tiff;
  const uint16 = (value: number) => integer(value, 2, littleEndian);
  const uint32 = (value: number) => integer(value, 4, littleEndian);
  const exifAt = 8 + directoryBytes(directories.main.length + 2);
  const gpsAt = exifAt + directoryBytes(directories.exif.length);
  const values: Buffer[] = [];
  let valuesAt = gpsAt + directoryBytes(directories.gps.length);

  const field = (original: TiffEntry): Buffer => {
    const entry = mended(original, tiff);
    const head = [uint16(entry.tag), uint16(entry.type), uint32(entry.count)];
    if (entry.bytes.length <= 4) return Buffer.concat([...head, entry.bytes, Buffer.alloc(4)], 12);
    const place = uint32(valuesAt);
    values.push(entry.bytes);
    valuesAt += entry.bytes.length;
    return Buffer.concat([...head, place]);
  };
  const pointer = (tag: number, offset: number): TiffEntry => ({
    tag,
    type: type.long,
    count: 1,
    bytes: uint32(offset),
  });
  const directory = (entries: readonly TiffEntry[]) =>
    Buffer.concat([uint16(entries.length), ...entries.map(field), uint32(0)]);

  return Buffer.concat([
    Buffer.from(littleEndian ? 'II' : 'MM', 'latin1'),
    uint16(42),
    uint32(8),
    directory([...directories.main, pointer(pointerTags.exif, exifAt), pointer(pointerTags.gps, gpsAt)]),
    directory(directories.exif),
    directory(directories.gps),
    ...values,
  ]);
}

function directoryBytes(entryCount: number): number {
  return 2 + entryCount * 12 + 4;
}

function integer(value: number, size: number, littleEndian: boolean): Buffer {
  const bytes = Buffer.alloc(size);
  if (littleEndian) bytes.writeUIntLE(value, 0, size);
  else bytes.writeUIntBE(value, 0, size);
  return bytes;
}

/**
 * The decoder turns text into U+FFFD where it is not UTF-8, so text passes it as plain bytes; it takes the stored type
 * at its word where the standard prescribes a signed one; and it does not know integers of 8 bytes. What 4 cannot
 * hold becomes a number that no fact can have.
 */
function mended(entry: TiffEntry, tiff: Tiff): TiffEntry {
  if (wideTypes.has(entry.type)) {
    const values = integerValues(tiff, entry).map((value) =>
      integer(value >= 0 && value < tooMuch ? value : tooMuch, 4, tiff.littleEndian),
    );
    return { ...entry, type: type.long, count: values.length, bytes: Buffer.concat(values) };
  }
  if (entry.type === type.ascii || entry.type === type.utf8) return { ...entry, type: type.undefined };
  if (entry.type === type.rational && signedTags.has(entry.tag))
    return { ...entry, type: type.signedRational };
  return entry;
}
