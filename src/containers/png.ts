import { crc32, inflateSync } from 'node:zlib';
import type { Refusal } from '../domain/recording.ts';
import { bytesSource, type ByteSource } from './byteSource.ts';
import {
  exifSignature,
  maxExifBytes,
  maxXmpBytes,
  xmpSignature,
  type PictureHeader,
  type StillContents,
} from './contents.ts';

// Writers that cut the picture into 8 KiB pieces need 13,000 chunks for 100 MB.
const maxChunks = 20_000;
const xmpKeyword = 'XML:com.adobe.xmp';

interface Chunk {
  readonly type: string;
  readonly start: number;
  readonly length: number;
}

/** Walks the chunks of a PNG (W3C PNG specification, third edition, 5.3). */
export function pngContents(source: ByteSource): StillContents {
  const exif: ByteSource[] = [];
  const xmp: Uint8Array[] = [];
  const profiles: RawProfile[] = [];
  const refusals: Refusal[] = [];
  let picture: PictureHeader = {};
  for (const chunk of chunks(source, refusals)) {
    if (chunk.type === 'IHDR') picture = pictureHeader(source.read(chunk.start, Math.min(chunk.length, 13)));
    if (chunk.type === 'sRGB') picture = { ...picture, colour: 'srgb' };
    if (chunk.type === 'iCCP' || chunk.type === 'cICP') picture = { ...picture, colour: 'profile' };
    if (chunk.type === 'eXIf') {
      const bytes = checkedChunk(source, chunk, maxExifBytes, refusals);
      if (bytes) exif.push(bytesSource(bytes));
    }
    if (chunk.type === 'iTXt' && isXmp(source, chunk)) {
      const bytes = checkedChunk(source, chunk, maxXmpBytes, refusals);
      const packet = bytes && internationalText(bytes, refusals);
      if (packet) xmp.push(packet);
    }
    const profile = rawProfile(source, chunk, refusals);
    if (profile) profiles.push(profile);
  }
  // Converters write them beside the chunk that took their place.
  const older = (is: RawProfile['is']) => profiles.filter((each) => each.is === is).map(({ bytes }) => bytes);
  return {
    format: 'png',
    picture,
    exif: exif.length > 0 ? exif : older('exif').map(bytesSource),
    xmp: xmp.length > 0 ? xmp : older('xmp'),
    refusals,
  };
}

function* chunks(source: ByteSource, refusals: Refusal[]): Generator<Chunk> {
  let offset = 8;
  for (let count = 0; count < maxChunks; count += 1) {
    const head = source.read(offset, 8);
    if (head.length < 8) {
      refusals.push(refusal(`byte ${offset}`, 'the file ends before its IEND chunk'));
      return;
    }
    const chunk = { type: head.toString('latin1', 4, 8), start: offset + 8, length: head.readUInt32BE(0) };
    if (chunk.type === 'IEND') return;
    yield chunk;
    offset = chunk.start + chunk.length + 4;
  }
  refusals.push(refusal(`byte ${offset}`, `more than ${maxChunks} chunks`));
}

function pictureHeader(bytes: Buffer): PictureHeader {
  if (bytes.length < 13) return {};
  const width = bytes.readUInt32BE(0);
  const height = bytes.readUInt32BE(4);
  // Palette entries are 8 bits a channel whatever the size of the index (PNG specification 11.2.2, colour type 3).
  const bitDepth = bytes.readUInt8(9) === 3 ? 8 : bytes.readUInt8(8);
  return width > 0 && height > 0 ? { width, height, bitDepth } : { bitDepth };
}

function isXmp(source: ByteSource, chunk: Chunk): boolean {
  const wanted = `${xmpKeyword}\0`;
  return (
    chunk.length > wanted.length && source.read(chunk.start, wanted.length).toString('latin1') === wanted
  );
}

function checkedChunk(
  source: ByteSource,
  chunk: Chunk,
  maxBytes: number,
  refusals: Refusal[],
): Buffer | undefined {
  if (chunk.length > maxBytes) {
    refusals.push(refusal(`${chunk.type} of ${chunk.length} bytes`, `larger than ${maxBytes} bytes`));
    return undefined;
  }
  const bytes = source.read(chunk.start - 4, chunk.length + 8);
  const intact =
    bytes.length === chunk.length + 8 &&
    crc32(bytes.subarray(0, -4)) === bytes.readUInt32BE(bytes.length - 4);
  if (intact) return bytes.subarray(4, -4);
  refusals.push(refusal(`${chunk.type} at byte ${chunk.start}`, 'the chunk does not match its check sum'));
  return undefined;
}

// Keyword, compression flag and method, language tag, translated keyword, text (PNG specification 11.3.3.4).
function internationalText(bytes: Buffer, refusals: Refusal[]): Buffer | undefined {
  const flagsAt = xmpKeyword.length + 1;
  const languageEnd = bytes.indexOf(0, flagsAt + 2);
  const translatedEnd = languageEnd < 0 ? -1 : bytes.indexOf(0, languageEnd + 1);
  if (translatedEnd < 0) {
    refusals.push(refusal('iTXt', 'the text chunk with the XMP is damaged'));
    return undefined;
  }
  const text = bytes.subarray(translatedEnd + 1);
  return bytes[flagsAt] === 0 ? text : inflated(text, 'iTXt', maxXmpBytes, refusals);
}

function inflated(text: Buffer, type: string, maxBytes: number, refusals: Refusal[]): Buffer | undefined {
  try {
    return inflateSync(text, { maxOutputLength: maxBytes });
  } catch {
    refusals.push(refusal(type, `the compressed text is damaged or larger than ${maxBytes} bytes`));
    return undefined;
  }
}

// Before PNG had chunks for them, EXIF and XMP were put into text chunks as hexadecimal digits under these keywords; many
// files of converters still carry them so (common practice; the keywords are those of several image libraries).
const profileKeyword = /^Raw profile type (exif|APP1|xmp)\0/;
const profileKeywordBytes = 24;
// Two digits a byte, and line ends.
const maxProfileBytes = Math.ceil(2.1 * Math.max(maxExifBytes, maxXmpBytes));

/** A TIFF structure or a packet. */
interface RawProfile {
  readonly is: 'exif' | 'xmp';
  readonly bytes: Buffer;
}

function rawProfile(source: ByteSource, chunk: Chunk, refusals: Refusal[]): RawProfile | undefined {
  if (chunk.type !== 'zTXt' && chunk.type !== 'tEXt') return undefined;
  const head = source.read(chunk.start, Math.min(chunk.length, profileKeywordBytes));
  if (!profileKeyword.test(head.toString('latin1'))) return undefined;
  const bytes = checkedChunk(source, chunk, maxProfileBytes, refusals);
  const text = bytes?.subarray(bytes.indexOf(0) + 1);
  // zTXt: keyword, compression method, text (PNG specification 11.3.3.3).
  const plain =
    text && chunk.type === 'zTXt' ? inflated(text.subarray(1), chunk.type, maxProfileBytes, refusals) : text;
  if (plain === undefined) return undefined;
  const profile = profileInDigits(plain);
  if (profile === undefined) refusals.push(refusal(chunk.type, 'a raw profile is damaged'));
  return profile;
}

/** A name, the number of bytes, and that many bytes as digits, each on lines of their own; undefined for all else. */
function profileInDigits(text: Buffer): RawProfile | undefined {
  const head = /^\s*([\w ]{1,16})\s*\n\s*(\d{1,8})\s*\n/.exec(text.toString('latin1', 0, 64));
  if (!head) return undefined;
  const digits = text.toString('latin1', head[0].length).replaceAll(/\s/g, '');
  const bytes = Buffer.from(digits, 'hex');
  const claimed = Number(head[2]);
  if (claimed === 0 || bytes.length < claimed) return undefined;
  return unwrapped(bytes.subarray(0, claimed));
}

/** Both are often still wrapped as a segment of a JPEG would have them. */
function unwrapped(bytes: Buffer): RawProfile {
  if (bytes.indexOf(xmpSignature) === 0) return { is: 'xmp', bytes: bytes.subarray(xmpSignature.length) };
  if (bytes.indexOf(exifSignature) === 0) return { is: 'exif', bytes: bytes.subarray(exifSignature.length) };
  const order = bytes.toString('latin1', 0, 2);
  return { is: order === 'II' || order === 'MM' ? 'exif' : 'xmp', bytes };
}

function refusal(raw: string, reason: string): Refusal {
  return { what: 'PNG chunks', raw, source: 'PNG', reason };
}
