import type { Refusal } from '../domain/recording.ts';
import { partSource, type ByteSource } from './byteSource.ts';
import { withoutExifSignature, maxXmpBytes, type PictureHeader, type StillContents } from './contents.ts';

const maxChunks = 4096;
// The second is a mistake of some writers.
const xmpTypes = new Set(['XMP ', 'XMP\0']);

interface Chunk {
  readonly type: string;
  readonly start: number;
  readonly length: number;
}

/** Walks the RIFF chunks of a WebP file (RFC 9649). */
export function webpContents(source: ByteSource): StillContents {
  const exif: ByteSource[] = [];
  const xmp: Uint8Array[] = [];
  const refusals: Refusal[] = [];
  let picture: PictureHeader = {};
  let hasProfile = false;
  for (const chunk of chunks(source, refusals)) {
    // The canvas of VP8X comes first and stands above the size of a single frame.
    if (picture.width === undefined) picture = pictureHeader(source, chunk);
    if (chunk.type === 'ICCP') hasProfile = true;
    if (chunk.type === 'EXIF') exif.push(withoutExifSignature(partSource(source, chunk.start, chunk.length)));
    const isXmp = xmpTypes.has(chunk.type);
    if (isXmp && chunk.length <= maxXmpBytes) {
      xmp.push(source.read(chunk.start, chunk.length));
    } else if (isXmp) {
      refusals.push(refusal(`XMP of ${chunk.length} bytes`, `larger than ${maxXmpBytes} bytes`));
    }
  }
  if (hasProfile) picture = { ...picture, colour: 'profile' };
  return { format: 'webp', picture, exif, xmp, refusals };
}

function* chunks(source: ByteSource, refusals: Refusal[]): Generator<Chunk> {
  const riffEnd = Math.min(source.sizeBytes, source.read(4, 4).readUInt32LE(0) + 8);
  let offset = 12;
  for (let count = 0; offset + 8 <= riffEnd; count += 1) {
    if (count === maxChunks) {
      refusals.push(refusal(`byte ${offset}`, `more than ${maxChunks} chunks`));
      return;
    }
    const head = source.read(offset, 8);
    const length = head.readUInt32LE(4);
    if (offset + 8 + length > riffEnd) {
      refusals.push(refusal(`byte ${offset}`, 'a chunk is larger than the file'));
      return;
    }
    yield { type: head.toString('latin1', 0, 4), start: offset + 8, length };
    offset += 8 + length + (length % 2);
  }
}

function pictureHeader(source: ByteSource, chunk: Chunk): PictureHeader {
  const bytes = source.read(chunk.start, Math.min(chunk.length, 10));
  // RFC 9649 2.7: 24-bit canvas sizes, one less than the size.
  if (chunk.type === 'VP8X' && bytes.length === 10) {
    return { width: bytes.readUIntLE(4, 3) + 1, height: bytes.readUIntLE(7, 3) + 1, bitDepth: 8 };
  }
  // RFC 6386 9.1: 14-bit sizes after the start code of a key frame.
  if (chunk.type === 'VP8 ' && bytes.length === 10 && bytes.readUIntBE(3, 3) === 0x9d012a) {
    return { width: bytes.readUInt16LE(6) & 0x3fff, height: bytes.readUInt16LE(8) & 0x3fff, bitDepth: 8 };
  }
  // RFC 9649 3.4: signature, then 14-bit sizes, one less than the size.
  if (chunk.type === 'VP8L' && bytes.length >= 5 && bytes[0] === 0x2f) {
    const sizes = bytes.readUInt32LE(1);
    return { width: (sizes & 0x3fff) + 1, height: ((sizes >>> 14) & 0x3fff) + 1, bitDepth: 8 };
  }
  return {};
}

function refusal(raw: string, reason: string): Refusal {
  return { what: 'WebP chunks', raw, source: 'WebP', reason };
}
