import type { ByteSource } from './byteSource.ts';

/** One key-length-value triplet of an MXF file (SMPTE ST 336). `key` is 32 lower-case hex digits. */
interface KlvPacket {
  readonly key: string;
  readonly valueStart: number;
  readonly valueBytes: number;
}

/** Of the universal label in front of every packet. */
const keyBytes = 16;
// Every SMPTE universal label begins so.
const labelStart = '060e2b34';
// Partition pack, SMPTE ST 377-1: what an MXF file starts with.
const partitionStart = '060e2b34020501010d010201';

export function isMxf(source: ByteSource): boolean {
  return source.read(0, keyBytes).toString('hex').startsWith(partitionStart);
}

// SMPTE ST 377-1, partition pack: behind key and length two version numbers, the size of the grid, and three places in
// the file, of which the third is the footer's; 0 where it is not known.
const footerAt = 24;

/** Where the file ends at the least by its own header; undefined where that is not known, or the file is no MXF. */
export function mxfEnd(source: ByteSource): number | undefined {
  if (!isMxf(source)) return undefined;
  const head = source.read(0, 256);
  const length = berLength(head.subarray(keyBytes));
  const at = keyBytes + (length?.fieldBytes ?? head.length) + footerAt;
  if (at + 8 > head.length) return undefined;
  const footer = Number(head.readBigUInt64BE(at));
  // The footer's own header is a partition pack of at least so many bytes.
  return footer === 0 ? undefined : footer + keyBytes;
}

/** The triplets one behind the other; ends at the end, or where what follows is none. Reads headers only. */
export function* klvPackets(source: ByteSource): Generator<KlvPacket> {
  for (let offset = 0; offset + keyBytes < source.sizeBytes;) {
    const head = source.read(offset, keyBytes + 9);
    const key = head.toString('hex', 0, keyBytes);
    const length = berLength(head.subarray(keyBytes));
    if (!key.startsWith(labelStart) || length === undefined) return;
    const valueStart = offset + keyBytes + length.fieldBytes;
    if (valueStart + length.value > source.sizeBytes) return;
    yield { key, valueStart, valueBytes: length.value };
    offset = valueStart + length.value;
  }
}

/** Length in the basic encoding rules: up to 127 in one byte, else the count of the bytes that hold it. */
export function berLength(
  bytes: Buffer,
): { readonly value: number; readonly fieldBytes: number } | undefined {
  const first = bytes[0];
  if (first === undefined) return undefined;
  if (first < 0x80) return { value: first, fieldBytes: 1 };
  const count = first - 0x80;
  if (count < 1 || count > 8 || bytes.length < 1 + count) return undefined;
  const value = Number(`0x${bytes.toString('hex', 1, 1 + count)}`);
  return Number.isSafeInteger(value) ? { value, fieldBytes: 1 + count } : undefined;
}
