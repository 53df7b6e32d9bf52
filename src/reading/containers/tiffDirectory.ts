import type { Refusal } from '../../domain/recording.ts';
import type { ByteSource } from './byteSource.ts';

/** One entry whose value lies wholly inside the block. */
export interface TiffEntry {
  readonly tag: number;
  readonly type: number;
  readonly count: number;
  readonly bytes: Buffer;
}

export interface TiffHeader {
  readonly littleEndian: boolean;
  /** Counts and places take 8 bytes in a BigTIFF. */
  readonly isBig: boolean;
  readonly firstDirectory: number;
}

export interface TiffDirectory {
  readonly entries: ReadonlyMap<number, TiffEntry>;
  readonly refusals: readonly Refusal[];
}

// Bytes per value of each type (TIFF 6.0 section 2; IFD from TIFF technical note 1; UTF-8 from Exif 3.0; LONG8, SLONG8
// and IFD8 from the BigTIFF design).
const typeBytes: Readonly<Record<number, number>> = {
  1: 1,
  2: 1,
  3: 2,
  4: 4,
  5: 8,
  6: 1,
  7: 1,
  8: 2,
  9: 4,
  10: 8,
  11: 4,
  12: 8,
  13: 4,
  16: 8,
  17: 8,
  18: 8,
  129: 1,
};

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

/** Byte order and place of the first directory; absent where this is no TIFF structure that is read here. */
export function tiffHeader(source: ByteSource): TiffHeader | undefined {
  const bytes = source.read(0, 16);
  if (bytes.length < 8) return undefined;
  const order = bytes.toString('latin1', 0, 2);
  if (order !== 'II' && order !== 'MM') return undefined;
  const littleEndian = order === 'II';
  // Other numbers than 42 stand for the same layout in several makers' raw files.
  const isBig = unsigned(bytes, 2, 2, littleEndian) === 43;
  if (!isBig) return { littleEndian, isBig, firstDirectory: unsigned(bytes, 4, 4, littleEndian) };
  // The width of a place, 8, and 0 (BigTIFF design).
  const isKnownWidth = unsigned(bytes, 4, 2, littleEndian) === 8 && unsigned(bytes, 6, 2, littleEndian) === 0;
  if (bytes.length < big.headerBytes || !isKnownWidth) return undefined;
  return { littleEndian, isBig, firstDirectory: unsigned(bytes, 8, 8, littleEndian) };
}

/**
 * Reads the wanted entries of one directory and follows nothing. A value counts only if it lies wholly inside the
 * source: what lies behind the end of a block belongs to somebody else.
 */
export function tiffDirectory(
  source: ByteSource,
  header: TiffHeader,
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
  const table = entryTable(source, header, offset);
  if (typeof table === 'string')
    return { entries: new Map(), refusals: [refuse('directory', `at byte ${offset}`, table)] };
  const { entryBytes } = header.isBig ? big : classic;
  const entries = new Map<number, TiffEntry>();
  const refusals: Refusal[] = [];
  for (let at = 0; at < table.length; at += entryBytes) {
    const tag = unsigned(table, at, 2, header.littleEndian);
    const name = wanted.get(tag);
    // Tags stand once in a directory (TIFF 6.0 section 2); of twins the first counts.
    if (name === undefined || entries.has(tag)) continue;
    const entry = entryAt(source, table.subarray(at, at + entryBytes), header, limits.maxValueBytes);
    if (typeof entry === 'string') refusals.push(refuse(name, `tag 0x${tag.toString(16)}`, entry));
    else entries.set(tag, entry);
  }
  return { entries, refusals };
}

/** All entries of a directory, or why there are none. */
function entryTable(
  source: ByteSource,
  { littleEndian, isBig }: TiffHeader,
  offset: number,
): Buffer | string {
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

function entryAt(
  source: ByteSource,
  field: Buffer,
  { littleEndian, isBig }: TiffHeader,
  maxValueBytes: number,
): TiffEntry | string {
  const { placeBytes } = isBig ? big : classic;
  const tag = unsigned(field, 0, 2, littleEndian);
  const type = unsigned(field, 2, 2, littleEndian);
  const count = unsigned(field, 4, placeBytes, littleEndian);
  const unitBytes = typeBytes[type];
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
export function integerValues(entry: TiffEntry | undefined, { littleEndian }: TiffHeader): number[] {
  if (!entry || !integerTypes.has(entry.type)) return [];
  const { bytes, type } = entry;
  const size = typeBytes[type] as number;
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
