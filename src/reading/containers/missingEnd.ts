import type { ByteSource } from './byteSource.ts';
import { ebmlElement, ebmlHeader, matroskaSegment } from './ebml.ts';
import { berLength, isMxf, keyBytes } from './mxfPackets.ts';

// A program that only looks at the beginning of a clip does not notice that its end is missing. These containers say in
// their first bytes how long they are; one that was written without knowing says nothing, and a transport stream never
// does. MP4 and MOV have their own walk, mp4Boxes.ts.

/** How many bytes a clip lacks at its end by what its own header says; undefined where it is whole or does not say. */
export function missingEnd(source: ByteSource): number | undefined {
  const head = source.read(0, 256);
  const claimed = riffEnd(head) ?? matroskaEnd(source) ?? (isMxf(source) ? mxfFooter(head) : undefined);
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

function matroskaEnd(source: ByteSource): number | undefined {
  const header = ebmlElement(source, 0);
  if (header?.id !== ebmlHeader || header.bodyBytes === undefined) return undefined;
  const segment = ebmlElement(source, header.bodyStart + header.bodyBytes);
  if (segment?.id !== matroskaSegment || segment.bodyBytes === undefined) return undefined;
  return segment.bodyStart + segment.bodyBytes;
}

// SMPTE ST 377-1, partition pack: behind key and length two version numbers, the size of the grid, and three places in
// the file, of which the third is the footer's; 0 where it is not known.
const footerAt = 24;

function mxfFooter(head: Buffer): number | undefined {
  const length = berLength(head.subarray(keyBytes));
  const at = keyBytes + (length?.fieldBytes ?? head.length) + footerAt;
  if (at + 8 > head.length) return undefined;
  const footer = Number(head.readBigUInt64BE(at));
  // The footer's own header is a partition pack of at least so many bytes.
  return footer === 0 ? undefined : footer + keyBytes;
}
