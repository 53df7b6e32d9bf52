import type { ByteSource } from './byteSource.ts';

// Matroska (RFC 9559) is a tree of elements: an identifier and a size, both of one to eight bytes (EBML, RFC 8794).
const id = {
  ebml: 0x1a45dfa3,
  segment: 0x18538067,
  attachments: 0x1941a469,
  attachedFile: 0x61a7,
  fileName: 0x466e,
  mediaType: 0x4660,
  fileData: 0x465c,
} as const;

interface Element {
  readonly id: number;
  readonly start: number;
  readonly end: number;
}

// A recording has a cluster of frames every few seconds.
const maxElements = 20_000;
const maxAttachments = 64;
const maxNameBytes = 1024;
const maxXmpBytes = 1 << 20;

/** XMP packets among a Matroska file's attachments; undefined where the file is none. */
export function matroskaXmp(source: ByteSource): Uint8Array[] | undefined {
  const head = elementAt(source, 0, source.sizeBytes);
  if (head?.id !== id.ebml) return undefined;
  const segment = elementAt(source, head.end, source.sizeBytes);
  if (segment?.id !== id.segment) return undefined;
  const parts = elements(source, segment, maxElements).filter((one) => one.id === id.attachments);
  return parts
    .flatMap((part) => elements(source, part, maxAttachments))
    .flatMap((file) => (file.id === id.attachedFile ? (xmpIn(source, file) ?? []) : []));
}

function xmpIn(source: ByteSource, file: Element): Uint8Array | undefined {
  const parts = elements(source, file, 16);
  const find = (wanted: number): Element | undefined => parts.find((one) => one.id === wanted);
  const text = (element: Element | undefined): string =>
    element === undefined
      ? ''
      : source.read(element.start, Math.min(maxNameBytes, element.end - element.start)).toString('latin1');
  const isXmp = text(find(id.mediaType)) === 'application/rdf+xml' || /\.xmp$/i.test(text(find(id.fileName)));
  const data = find(id.fileData);
  if (!isXmp || data === undefined || data.end - data.start > maxXmpBytes) return undefined;
  return source.read(data.start, data.end - data.start);
}

function elements(source: ByteSource, parent: Element, limit: number): Element[] {
  const found: Element[] = [];
  for (let at = parent.start; at < parent.end && found.length < limit;) {
    const element = elementAt(source, at, parent.end);
    if (element === undefined) break;
    found.push(element);
    at = element.end;
  }
  return found;
}

function elementAt(source: ByteSource, at: number, limit: number): Element | undefined {
  const head = source.read(at, 12);
  const idBytes = widthOf(head[0], 4);
  const sizeBytes = idBytes && widthOf(head[idBytes], 8);
  if (idBytes === undefined || sizeBytes === undefined || head.length < idBytes + sizeBytes) return undefined;
  const size = sizeIn(head.subarray(idBytes, idBytes + sizeBytes));
  const start = at + idBytes + sizeBytes;
  // A recording that was streamed has a segment of unknown size: it then lasts to the end.
  const end = size === undefined ? limit : start + size;
  return { id: head.readUIntBE(0, idBytes), start, end: Math.min(end, limit) };
}

/** How many bytes a number has: as many as its first byte has leading zeros, and one. */
function widthOf(first: number | undefined, most: number): number | undefined {
  const width = first === undefined || first === 0 ? 9 : Math.clz32(first) - 23;
  return width <= most ? width : undefined;
}

function sizeIn(bytes: Buffer): number | undefined {
  const marker = 1 << (8 - bytes.length);
  const first = bytes[0]! & (marker - 1);
  let value = first;
  let allOnes = first === marker - 1;
  for (const byte of bytes.subarray(1)) {
    value = value * 256 + byte;
    allOnes &&= byte === 0xff;
  }
  return allOnes ? undefined : value;
}
