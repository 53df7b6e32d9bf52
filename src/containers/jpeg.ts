import type { Refusal } from '../domain/recording.ts';
import { partSource, type ByteSource } from './byteSource.ts';
import { exifSignature, xmpSignature, type PictureHeader, type StillContents } from './contents.ts';

// A camera writes some tens; embedded colour profiles and previews may add a few hundred.
const maxSegments = 4096;
const maxFillBytes = 65_536;
/** Looked through at once for the next marker. */
const strayBytes = 256;

const extendedXmpSignature = 'http://ns.adobe.com/xmp/extension/\0';
const profileSignature = 'ICC_PROFILE\0';

const marker = { eoi: 0xd9, sos: 0xda, app1: 0xe1, app2: 0xe2, app3: 0xe3, app4: 0xe4 };

type ExtendedXmpPart = NonNullable<StillContents['extendedXmp']>[number];

interface Segment {
  readonly marker: number;
  readonly start: number;
  readonly length: number;
}

/** Walks the marker segments up to the picture data (ISO/IEC 10918-1 annex B). */
export function jpegContents(source: ByteSource): StillContents {
  const exif: ByteSource[] = [];
  const xmp: Uint8Array[] = [];
  const extendedXmp: ExtendedXmpPart[] = [];
  const refusals: Refusal[] = [];
  let picture: PictureHeader = {};
  let hasProfile = false;
  for (const segment of segments(source, refusals)) {
    if (isFrameHeader(segment.marker)) {
      if (picture.width === undefined) picture = frameHeader(source.read(segment.start, segment.length));
    } else if (segment.marker === marker.app1) {
      readApp1(source, segment, { exif, xmp, extendedXmp, refusals });
    } else if (segment.marker === marker.app2) {
      hasProfile ||= startsWith(source, segment, profileSignature);
    }
  }
  if (hasProfile) picture = { ...picture, colour: 'profile' };
  return { format: 'jpeg', picture, exif, xmp, extendedXmp, refusals };
}

/**
 * The most bytes that one marker holds of a camera's own data, in APP1, APP3 or APP4. There cameras of heat write what
 * their sensor read; descriptions, profiles and previews of editing programs lie elsewhere.
 */
export function jpegOwnBytes(source: ByteSource): number {
  const described = [exifSignature, xmpSignature, extendedXmpSignature];
  const own = { [marker.app1]: 0, [marker.app3]: 0, [marker.app4]: 0 };
  for (const segment of segments(source, []))
    if (segment.marker in own && !described.some((signature) => startsWith(source, segment, signature)))
      own[segment.marker]! += segment.length;
  return Math.max(...Object.values(own));
}

function* segments(source: ByteSource, refusals: Refusal[]): Generator<Segment> {
  let offset = 2;
  let fillBytes = 0;
  for (let count = 0; count < maxSegments;) {
    const head = source.read(offset, 4);
    if (head.length >= 2 && head[0] !== 0xff && fillBytes < maxFillBytes) {
      // Writers leave a few bytes between segments, which decoders pass over.
      const next = source.read(offset, strayBytes).indexOf(0xff);
      const stray = next < 0 ? strayBytes : next;
      offset += stray;
      fillBytes += stray;
      continue;
    }
    if (head.length < 2 || head[0] !== 0xff) {
      refusals.push(refusal(`byte ${offset}`, 'the file ends or is damaged before its picture data'));
      return;
    }
    const code = head[1] as number;
    if (code === 0xff) {
      offset += 1;
      fillBytes += 1;
      if (fillBytes > maxFillBytes) break;
      continue;
    }
    // A stuffed byte of picture data, and no marker (ISO/IEC 10918-1 B.1.1.5).
    if (code === 0) {
      offset += 2;
      fillBytes += 2;
      continue;
    }
    if (code === marker.sos || code === marker.eoi) return;
    count += 1;
    if (standsAlone(code)) {
      offset += 2;
      continue;
    }
    const length = head.length === 4 ? head.readUInt16BE(2) : 0;
    if (length < 2) {
      refusals.push(refusal(`byte ${offset}`, 'a segment is shorter than its own length field'));
      return;
    }
    yield { marker: code, start: offset + 4, length: length - 2 };
    offset += 2 + length;
  }
  refusals.push(refusal(`byte ${offset}`, 'more segments or fill bytes than a still needs'));
}

// TEM and RST0 to RST7 carry no length (ISO/IEC 10918-1 table B.1).
function standsAlone(code: number): boolean {
  return code === 0x01 || (code >= 0xd0 && code <= 0xd7);
}

// SOF0 to SOF15 without DHT (C4), JPG (C8) and DAC (CC) (ISO/IEC 10918-1 table B.1).
function isFrameHeader(code: number): boolean {
  return code >= 0xc0 && code <= 0xcf && code !== 0xc4 && code !== 0xc8 && code !== 0xcc;
}

function frameHeader(bytes: Buffer): PictureHeader {
  if (bytes.length < 5) return {};
  const bitDepth = bytes.readUInt8(0);
  const height = bytes.readUInt16BE(1);
  const width = bytes.readUInt16BE(3);
  // A height of 0 is filled in by a later DNL segment; that is too rare to chase.
  return width > 0 && height > 0 ? { width, height, bitDepth } : { bitDepth };
}

function readApp1(
  source: ByteSource,
  segment: Segment,
  cut: { exif: ByteSource[]; xmp: Uint8Array[]; extendedXmp: ExtendedXmpPart[]; refusals: Refusal[] },
): void {
  if (startsWith(source, segment, exifSignature)) {
    const skipped = exifSignature.length;
    cut.exif.push(partSource(source, segment.start + skipped, segment.length - skipped));
  } else if (startsWith(source, segment, xmpSignature)) {
    cut.xmp.push(bytesAfter(source, segment, xmpSignature.length));
  } else if (startsWith(source, segment, extendedXmpSignature)) {
    const bytes = bytesAfter(source, segment, extendedXmpSignature.length);
    const part = extendedPart(bytes);
    if (part) cut.extendedXmp.push(part);
    else cut.refusals.push(refusal(`${bytes.length} bytes`, 'a part of the extended XMP has no header'));
  }
}

// Adobe XMP specification part 3, "Extended XMP": GUID as 32 ASCII digits, full length, offset, data.
function extendedPart(bytes: Buffer): ExtendedXmpPart | undefined {
  if (bytes.length < 40) return undefined;
  return {
    guid: bytes.toString('latin1', 0, 32),
    totalBytes: bytes.readUInt32BE(32),
    offset: bytes.readUInt32BE(36),
    bytes: bytes.subarray(40),
  };
}

function startsWith(source: ByteSource, segment: Segment, signature: string): boolean {
  if (segment.length < signature.length) return false;
  return source.read(segment.start, signature.length).toString('latin1') === signature;
}

function bytesAfter(source: ByteSource, segment: Segment, skipped: number): Buffer {
  return source.read(segment.start + skipped, segment.length - skipped);
}

function refusal(raw: string, reason: string): Refusal {
  return { what: 'JPEG segments', raw, source: 'JPEG', reason };
}
