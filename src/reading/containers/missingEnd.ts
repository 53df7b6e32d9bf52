import type { ByteSource } from './byteSource.ts';
import { isMxf } from './mxfPackets.ts';

// A program that only looks at the beginning of a clip does not notice that its end is missing. These containers say in
// their first bytes how long they are; one that was written without knowing says nothing, and a transport stream never
// does. MP4 and MOV have their own walk, mp4Boxes.ts.

/** How many bytes a clip lacks at its end by what its own header says; undefined where it is whole or does not say. */
export function missingEnd(source: ByteSource): number | undefined {
  const head = source.read(0, 256);
  const claimed = riffEnd(head) ?? matroskaEnd(head) ?? (isMxf(source) ? mxfFooter(head) : undefined);
  if (claimed === undefined || !Number.isSafeInteger(claimed)) return undefined;
  return claimed > source.sizeBytes ? claimed - source.sizeBytes : undefined;
}

/** RIFF: a 32-bit size behind the first four bytes. Larger files have more than one such chunk; the first counts. */
function riffEnd(head: Buffer): number | undefined {
  if (head.toString('latin1', 0, 4) !== 'RIFF' || head.toString('latin1', 8, 12) !== 'AVI ') return undefined;
  const size = head.readUInt32LE(4);
  // Zero, or all ones, is what stands there until the end is written.
  return size === 0 || size >= 0xffff_fff0 ? undefined : size + 8;
}

const ebmlHeader = '1a45dfa3';
const segment = '18538067';

/** RFC 8794: a size of one to eight bytes, its length told by the first set bit; all ones are "unknown". */
function matroskaEnd(head: Buffer): number | undefined {
  if (head.toString('hex', 0, 4) !== ebmlHeader) return undefined;
  const header = elementSize(head, 4);
  const at = header === undefined ? head.length : 4 + header.fieldBytes + header.value;
  if (at + 12 > head.length || head.toString('hex', at, at + 4) !== segment) return undefined;
  const size = elementSize(head, at + 4);
  return size === undefined ? undefined : at + 4 + size.fieldBytes + size.value;
}

function elementSize(
  bytes: Buffer,
  at: number,
): { readonly fieldBytes: number; readonly value: number } | undefined {
  const first = bytes[at] ?? 0;
  const fieldBytes = Math.clz32(first) - 23;
  if (first === 0 || at + fieldBytes > bytes.length) return undefined;
  const mask = 2n ** BigInt(7 * fieldBytes) - 1n;
  const value = BigInt(`0x${bytes.toString('hex', at, at + fieldBytes)}`) & mask;
  return value === mask ? undefined : { fieldBytes, value: Number(value) };
}

// SMPTE ST 377-1, partition pack: behind key and length two version numbers, the size of the grid, and three places in
// the file, of which the third is the footer's; 0 where it is not known.
const footerAt = 24;

function mxfFooter(head: Buffer): number | undefined {
  const lengthByte = head[16] ?? 0;
  const fieldBytes = lengthByte < 0x80 ? 1 : 1 + (lengthByte & 0x7f);
  const at = 16 + fieldBytes + footerAt;
  if (at + 8 > head.length) return undefined;
  const footer = Number(head.readBigUInt64BE(at));
  // The footer's own header is a partition pack of at least so many bytes.
  return footer === 0 ? undefined : footer + 16;
}
