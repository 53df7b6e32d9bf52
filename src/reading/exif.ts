import type { Refusal } from '../domain/recording.ts';
import { captureFacts, type CaptureValues } from './captureFacts.ts';
import { decodeText, type ByteSource } from '../containers/byteSource.ts';
import { integerValues, openTiff, tiffDirectory, type Tiff, type TiffEntry } from '../containers/tiff.ts';
import { rawText, type RecordedNumber } from './recordedNumber.ts';
import { exifGpsTime, exifTime } from './recordedTime.ts';
import type { Reading } from './sighting.ts';
import type { GpsTime } from './timeZone.ts';

// What is known of the decoder, before any code (exifr 7.1.3, found by trying it against a general-purpose reader):
// it reads past the end of the block, hangs on entries that share one value, fetches strings as addresses, takes dates
// through this machine's time zone, ignores altitude signs and guesses hemispheres. So it is handed only the small
// block that compactExif() writes, with all interpretation switched off; the rest is done here.

interface ExifReading extends Reading {
  /** 1 to 8 (CIPA DC-008, Orientation). */
  readonly orientation?: number;
  /** 1 sRGB, 65535 uncalibrated (CIPA DC-008, ColorSpace). */
  readonly colorSpace?: number;
  readonly gpsTime?: GpsTime;
}

const decoderOptions = {
  mergeOutput: false,
  reviveValues: false,
  translateValues: false,
  translateKeys: false,
  makerNote: false,
  userComment: false,
  ifd1: false,
  exif: true,
  gps: true,
  interop: false,
  xmp: false,
  icc: false,
  iptc: false,
  jfif: false,
  ihdr: false,
};

/** Decoded values by the standard's tag names. */
type Decoded = ReadonlyMap<string, unknown>;

/** The facts of one EXIF block: a TIFF structure, from its `II` or `MM` on. */
export async function readExif(source: ByteSource): Promise<ExifReading> {
  const { block, refusals } = compactExif(source);
  if (!block) return { sightings: [], refusals };
  const decoded = await decodedBlock(block);
  const facts = captureFacts(exifValues(decoded), 'exif');
  return {
    sightings: facts.sightings,
    refusals: [...refusals, ...facts.refusals],
    orientation: integerIn(decoded, 'Orientation', 1, 8),
    colorSpace: integerIn(decoded, 'ColorSpace', 0, 65_535),
    gpsTime: receiverTime(decoded),
  };
}

async function decodedBlock(block: Buffer): Promise<Decoded> {
  // Few clips hold such a block, and all would wait for the decoder.
  const { default: exifr } = await import('exifr');
  const output = (await exifr.parse(block, decoderOptions)) as
    Record<string, Record<number, unknown>> | undefined;
  const named = (tags: ReadonlyMap<number, string>, part: Record<number, unknown> | undefined) =>
    [...tags].map(([tag, name]) => [name, part?.[tag]] as const);
  return new Map([
    ...named(mainTags, output?.['ifd0']),
    ...named(captureTags, output?.['exif']),
    ...named(gpsTags, output?.['gps']),
  ]);
}

function exifValues(decoded: Decoded): CaptureValues {
  return {
    number: (name) => recordedNumber(decoded, name),
    latitude: coordinate(decoded, 'GPSLatitude'),
    longitude: coordinate(decoded, 'GPSLongitude'),
    directionReference: text(decoded, 'GPSImgDirectionRef'),
    time: recordedTime(decoded, 'Original') ?? recordedTime(decoded, 'Digitized'),
    make: text(decoded, 'Make'),
    model: text(decoded, 'Model'),
    cameraSource: 'EXIF Make and Model',
  };
}

function numbers(value: unknown): number[] {
  if (typeof value === 'number') return [value];
  if (Array.isArray(value)) return value.filter((each) => typeof each === 'number');
  if (ArrayBuffer.isView(value)) return Array.from(value as Uint8Array);
  return [];
}

// Tags of which a writer stored several values (sensitivity for one) count by their first.
function recordedNumber(decoded: Decoded, name: string): RecordedNumber | undefined {
  const [value] = numbers(decoded.get(name));
  return value === undefined ? undefined : { value, raw: rawText(value), source: `EXIF ${name}` };
}

function integerIn(decoded: Decoded, name: string, low: number, high: number): number | undefined {
  const [value] = numbers(decoded.get(name));
  return value !== undefined && Number.isInteger(value) && value >= low && value <= high ? value : undefined;
}

function coordinate(decoded: Decoded, name: string): CaptureValues['latitude'] {
  const parts = numbers(decoded.get(name));
  if (parts.length < 1 || parts.length > 3) return undefined;
  const [degrees = 0, minutes = 0, seconds = 0] = parts;
  const value = degrees + minutes / 60 + seconds / 3600;
  const recorded = { value, raw: parts.join(' '), source: `EXIF ${name}` };
  return { degrees: recorded, hemisphere: text(decoded, `${name}Ref`) };
}

function recordedTime(decoded: Decoded, kind: 'Original' | 'Digitized'): CaptureValues['time'] {
  const date = text(decoded, `DateTime${kind}`);
  const subSeconds = text(decoded, `SubSecTime${kind}`);
  const offset = text(decoded, `OffsetTime${kind}`);
  const parsed = exifTime({ date, subSeconds, offset });
  return parsed && { parsed, raw: date ?? '', source: `EXIF DateTime${kind}` };
}

function receiverTime(decoded: Decoded): GpsTime | undefined {
  const date = text(decoded, 'GPSDateStamp');
  const time = numbers(decoded.get('GPSTimeStamp'));
  const atMs = exifGpsTime(date, time);
  return atMs === undefined
    ? undefined
    : { atMs, raw: `${date} ${time.join(':')}`, source: 'EXIF GPSDateStamp and GPSTimeStamp' };
}

/** Text up to its first NUL. Blank text is no text. */
function text(decoded: Decoded, name: string): string | undefined {
  const value = decoded.get(name);
  if (!(value instanceof Uint8Array)) return undefined;
  const end = value.indexOf(0);
  const bytes = end < 0 ? value : value.subarray(0, end);
  return decodeText(bytes).trim() || undefined;
}

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
  [0xa405, 'FocalLengthIn35mmFilm'],
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
function compactExif(source: ByteSource): CompactExif {
  const tiff = openTiff(source);
  if (!tiff)
    return { refusals: [{ what: 'EXIF', raw: 'header', source: 'EXIF', reason: 'it is no TIFF structure' }] };
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
