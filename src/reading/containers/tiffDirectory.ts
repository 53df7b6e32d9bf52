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
  readonly firstDirectory: number;
}

export interface TiffDirectory {
  readonly entries: ReadonlyMap<number, TiffEntry>;
  readonly refusals: readonly Refusal[];
}

// Bytes per value of each type (TIFF 6.0 section 2; IFD from TIFF technical note 1; UTF-8 from Exif 3.0).
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
  129: 1,
};

/** Far above what any writer needs, and cheap to look through. */
const maxEntries = 4096;

/** No caller looks at more values of one entry. */
const maxIntegers = 16;

/** Byte order and place of the first directory; absent where this is no TIFF structure that is read here. */
export function tiffHeader(source: ByteSource): TiffHeader | undefined {
  const bytes = source.read(0, 8);
  if (bytes.length < 8) return undefined;
  const order = bytes.toString('latin1', 0, 2);
  if (order !== 'II' && order !== 'MM') return undefined;
  const littleEndian = order === 'II';
  const magic = littleEndian ? bytes.readUInt16LE(2) : bytes.readUInt16BE(2);
  // 43 is BigTIFF: another layout. Other numbers than 42 stand for the same layout in several makers' raw files.
  if (magic === 43) return undefined;
  const firstDirectory = littleEndian ? bytes.readUInt32LE(4) : bytes.readUInt32BE(4);
  return { littleEndian, firstDirectory };
}

/**
 * Reads the wanted entries of one directory and follows nothing. A value counts only if it lies wholly inside the
 * source: what lies behind the end of a block belongs to somebody else.
 */
export function tiffDirectory(
  source: ByteSource,
  { littleEndian }: TiffHeader,
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
  const head = source.read(offset, 2);
  const entryCount = head.length < 2 ? 0 : littleEndian ? head.readUInt16LE(0) : head.readUInt16BE(0);
  const table = entryCount > maxEntries ? Buffer.alloc(0) : source.read(offset + 2, entryCount * 12);
  if (offset < 8 || head.length < 2 || table.length < entryCount * 12) {
    const reason =
      entryCount > maxEntries
        ? 'has more entries than any writer needs'
        : 'does not lie wholly inside the block';
    return { entries: new Map(), refusals: [refuse('directory', `at byte ${offset}`, reason)] };
  }
  const entries = new Map<number, TiffEntry>();
  const refusals: Refusal[] = [];
  for (let at = 0; at < table.length; at += 12) {
    const tag = littleEndian ? table.readUInt16LE(at) : table.readUInt16BE(at);
    const name = wanted.get(tag);
    // Tags stand once in a directory (TIFF 6.0 section 2); of twins the first counts.
    if (name === undefined || entries.has(tag)) continue;
    const entry = entryAt(source, table.subarray(at, at + 12), littleEndian, limits.maxValueBytes);
    if (typeof entry === 'string') refusals.push(refuse(name, `tag 0x${tag.toString(16)}`, entry));
    else entries.set(tag, entry);
  }
  return { entries, refusals };
}

function entryAt(
  source: ByteSource,
  field: Buffer,
  littleEndian: boolean,
  maxValueBytes: number,
): TiffEntry | string {
  const tag = littleEndian ? field.readUInt16LE(0) : field.readUInt16BE(0);
  const type = littleEndian ? field.readUInt16LE(2) : field.readUInt16BE(2);
  const count = littleEndian ? field.readUInt32LE(4) : field.readUInt32BE(4);
  const unitBytes = typeBytes[type];
  if (unitBytes === undefined) return `its type ${type} does not exist`;
  const size = unitBytes * count;
  if (size > maxValueBytes) return `its value claims ${size} bytes`;
  const offset = littleEndian ? field.readUInt32LE(8) : field.readUInt32BE(8);
  const bytes = size <= 4 ? field.subarray(8, 8 + size) : source.read(offset, size);
  if (bytes.length < size) return 'its value does not lie wholly inside the block';
  return { tag, type, count, bytes };
}

/** The first unsigned integers of an entry of type BYTE, SHORT, LONG or IFD; none for other types. */
export function unsignedValues(entry: TiffEntry | undefined, { littleEndian }: TiffHeader): number[] {
  const size = entry ? { 1: 1, 3: 2, 4: 4, 13: 4 }[entry.type] : undefined;
  if (!entry || size === undefined) return [];
  return Array.from({ length: Math.min(entry.count, maxIntegers) }, (_, each) =>
    littleEndian ? entry.bytes.readUIntLE(each * size, size) : entry.bytes.readUIntBE(each * size, size),
  );
}
