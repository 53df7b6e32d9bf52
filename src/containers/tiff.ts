import type { Refusal } from '../domain/recording.ts';
import type { ByteSource } from './byteSource.ts';
import { maxXmpBytes, type PictureHeader, type StillContents } from './contents.ts';

// TIFF 6.0 section 8; NewSubfileType and SubIFDs: TIFF technical note 1; DNGVersion: DNG 1.4 specification.
const tag = {
  newSubfileType: 0x00fe,
  imageWidth: 0x0100,
  imageLength: 0x0101,
  bitsPerSample: 0x0102,
  subDirectories: 0x014a,
  xmp: 0x02bc,
  dngVersion: 0xc612,
} as const;

const pictureTags = new Map<number, string>([
  [tag.newSubfileType, 'NewSubfileType'],
  [tag.imageWidth, 'ImageWidth'],
  [tag.imageLength, 'ImageLength'],
  [tag.bitsPerSample, 'BitsPerSample'],
]);
const mainTags = new Map<number, string>([
  ...pictureTags,
  [tag.subDirectories, 'SubIFDs'],
  [tag.xmp, 'XMP'],
  [tag.dngVersion, 'DNGVersion'],
]);
const maxSubDirectories = 8;
const label = 'TIFF';

/** A TIFF or DNG file is itself the block that carries EXIF; only its directories are read, never its strips. */
export function tiffContents(source: ByteSource): StillContents {
  const tiff = openTiff(source);
  if (!tiff) {
    const reason = 'its header is damaged';
    const refusals: Refusal[] = [{ what: 'TIFF', raw: 'header', source: label, reason }];
    return { format: 'tiff', picture: {}, exif: [], xmp: [], refusals };
  }
  const main = tiffDirectory(tiff, tiff.firstDirectory, mainTags, { label, maxValueBytes: maxXmpBytes });
  const xmp = main.entries.get(tag.xmp)?.bytes;
  return {
    format: main.entries.has(tag.dngVersion) ? 'dng' : 'tiff',
    picture: largestPicture(tiff, main),
    exif: [source],
    xmp: xmp ? [xmp] : [],
    refusals: main.refusals,
  };
}

// The first directory of a DNG is often its preview; the picture then lies one level down and is never reduced.
function largestPicture(tiff: Tiff, main: TiffDirectory): PictureHeader {
  const offsets = integerValues(tiff, main.entries.get(tag.subDirectories)).slice(0, maxSubDirectories);
  const limits = { label, maxValueBytes: 64 };
  const directories = [main, ...offsets.map((offset) => tiffDirectory(tiff, offset, pictureTags, limits))];
  const pictures = directories
    .filter((directory) => !isReduced(tiff, directory))
    .map((directory) => sizes(tiff, directory));
  const area = (picture: PictureHeader) => (picture.width ?? 0) * (picture.height ?? 0);
  return pictures.reduce((best, each) => (area(each) > area(best) ? each : best), {});
}

function isReduced(tiff: Tiff, { entries }: TiffDirectory): boolean {
  const [kind = 0] = integerValues(tiff, entries.get(tag.newSubfileType));
  return (kind & 1) === 1;
}

function sizes(tiff: Tiff, { entries }: TiffDirectory): PictureHeader {
  const first = (wanted: number) => integerValues(tiff, entries.get(wanted))[0];
  const width = first(tag.imageWidth);
  const height = first(tag.imageLength);
  const bitDepth = first(tag.bitsPerSample);
  if (!width || !height) return {};
  return { width, height, bitDepth: bitDepth || undefined };
}

// The structure itself, which EXIF blocks share.

/** One entry whose value lies wholly inside the block. */
export interface TiffEntry {
  readonly tag: number;
  readonly type: number;
  readonly count: number;
  readonly bytes: Buffer;
}

/** A TIFF structure whose header can be read. */
export interface Tiff {
  readonly source: ByteSource;
  readonly littleEndian: boolean;
  /** Counts and places take 8 bytes in a BigTIFF. */
  readonly isBig: boolean;
  readonly firstDirectory: number;
}

interface TiffDirectory {
  readonly entries: ReadonlyMap<number, TiffEntry>;
  readonly refusals: readonly Refusal[];
}

// Bytes per value of each type (TIFF 6.0 section 2; IFD from TIFF technical note 1; UTF-8 from Exif 3.0; LONG8, SLONG8
// and IFD8 from the BigTIFF design).
const typesByBytes = { 1: [1, 2, 6, 7, 129], 2: [3, 8], 4: [4, 9, 11, 13], 8: [5, 10, 12, 16, 17, 18] };
const typeBytes: ReadonlyMap<number, number> = new Map(
  Object.entries(typesByBytes).flatMap(([bytes, types]) => types.map((type) => [type, Number(bytes)])),
);

const signedTypes = new Set([6, 8, 9, 17]);
// BYTE, SHORT, LONG, SBYTE, SSHORT, SLONG, IFD, LONG8, SLONG8, IFD8.
const integerTypes = new Set([1, 3, 4, 6, 8, 9, 13, 16, 17, 18]);

/** Far above what any writer needs, and cheap to look through. */
const maxEntries = 4096;

/** No caller looks at more values of one entry. */
const maxIntegers = 16;

// How wide the parts of a directory are (TIFF 6.0 section 2; BigTIFF design).
const classic = { countBytes: 2, entryBytes: 12, placeBytes: 4, headerBytes: 8 };
const big = { countBytes: 8, entryBytes: 20, placeBytes: 8, headerBytes: 16 };

/** Undefined where this is no TIFF structure that is read here. */
export function openTiff(source: ByteSource): Tiff | undefined {
  const bytes = source.read(0, 16);
  if (bytes.length < 8) return undefined;
  const order = bytes.toString('latin1', 0, 2);
  if (order !== 'II' && order !== 'MM') return undefined;
  const littleEndian = order === 'II';
  // Other numbers than 42 stand for the same layout in several makers' raw files.
  const isBig = unsigned(bytes, 2, 2, littleEndian) === 43;
  if (!isBig) return { source, littleEndian, isBig, firstDirectory: unsigned(bytes, 4, 4, littleEndian) };
  // The width of a place, 8, and 0 (BigTIFF design).
  const isKnownWidth = unsigned(bytes, 4, 2, littleEndian) === 8 && unsigned(bytes, 6, 2, littleEndian) === 0;
  if (bytes.length < big.headerBytes || !isKnownWidth) return undefined;
  return { source, littleEndian, isBig, firstDirectory: unsigned(bytes, 8, 8, littleEndian) };
}

/**
 * Reads the wanted entries of one directory and follows nothing. A value counts only if it lies wholly inside the
 * source: what lies behind the end of a block belongs to somebody else.
 */
export function tiffDirectory(
  tiff: Tiff,
  offset: number,
  wanted: ReadonlyMap<number, string>,
  limits: { readonly label: string; readonly maxValueBytes: number },
): TiffDirectory {
  const refuse = (what: string, raw: string, reason: string): Refusal => ({
    what,
    raw,
    source: limits.label,
    reason,
  });
  const table = entryTable(tiff, offset);
  if (typeof table === 'string')
    return { entries: new Map(), refusals: [refuse('directory', `at byte ${offset}`, table)] };
  const { entryBytes } = tiff.isBig ? big : classic;
  const entries = new Map<number, TiffEntry>();
  const refusals: Refusal[] = [];
  for (let at = 0; at < table.length; at += entryBytes) {
    const tag = unsigned(table, at, 2, tiff.littleEndian);
    const name = wanted.get(tag);
    // Tags stand once in a directory (TIFF 6.0 section 2); of twins the first counts.
    if (name === undefined || entries.has(tag)) continue;
    const entry = entryIn(tiff, table.subarray(at, at + entryBytes), limits.maxValueBytes);
    if (typeof entry === 'string') refusals.push(refuse(name, `tag 0x${tag.toString(16)}`, entry));
    else entries.set(tag, entry);
  }
  return { entries, refusals };
}

/** All entries of a directory, or why there are none. */
function entryTable({ source, littleEndian, isBig }: Tiff, offset: number): Buffer | string {
  const { countBytes, entryBytes, headerBytes } = isBig ? big : classic;
  const outside = 'does not lie wholly inside the block';
  if (offset < headerBytes || offset > source.sizeBytes) return outside;
  const head = source.read(offset, countBytes);
  if (head.length < countBytes) return outside;
  const entryCount = unsigned(head, 0, countBytes, littleEndian);
  if (entryCount > maxEntries) return 'has more entries than any writer needs';
  const table = source.read(offset + countBytes, entryCount * entryBytes);
  return table.length < entryCount * entryBytes ? outside : table;
}

function entryIn(
  { source, littleEndian, isBig }: Tiff,
  field: Buffer,
  maxValueBytes: number,
): TiffEntry | string {
  const { placeBytes } = isBig ? big : classic;
  const tag = unsigned(field, 0, 2, littleEndian);
  const type = unsigned(field, 2, 2, littleEndian);
  const count = unsigned(field, 4, placeBytes, littleEndian);
  const unitBytes = typeBytes.get(type);
  if (unitBytes === undefined) return `its type ${type} does not exist`;
  const size = unitBytes * count;
  if (size > maxValueBytes) return `its value claims ${size} bytes`;
  const valueAt = 4 + placeBytes;
  const inside = size <= placeBytes;
  const place = unsigned(field, valueAt, placeBytes, littleEndian);
  if (!inside && place > source.sizeBytes) return 'its value does not lie wholly inside the block';
  const bytes = inside ? field.subarray(valueAt, valueAt + size) : source.read(place, size);
  if (bytes.length < size) return 'its value does not lie wholly inside the block';
  return { tag, type, count, bytes };
}

/** The first integers of an entry of any integer type; none for other types. Exact up to 2^53. */
export function integerValues({ littleEndian }: Tiff, entry: TiffEntry | undefined): number[] {
  if (!entry || !integerTypes.has(entry.type)) return [];
  const { bytes, type } = entry;
  const size = typeBytes.get(type)!;
  const value = signedTypes.has(type) ? signed : unsigned;
  return Array.from({ length: Math.min(entry.count, maxIntegers) }, (_, each) =>
    value(bytes, each * size, size, littleEndian),
  );
}

function unsigned(bytes: Buffer, at: number, size: number, littleEndian: boolean): number {
  if (size === 8) return Number(littleEndian ? bytes.readBigUInt64LE(at) : bytes.readBigUInt64BE(at));
  return littleEndian ? bytes.readUIntLE(at, size) : bytes.readUIntBE(at, size);
}

function signed(bytes: Buffer, at: number, size: number, littleEndian: boolean): number {
  if (size === 8) return Number(littleEndian ? bytes.readBigInt64LE(at) : bytes.readBigInt64BE(at));
  return littleEndian ? bytes.readIntLE(at, size) : bytes.readIntBE(at, size);
}
