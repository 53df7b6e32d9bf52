import type { ByteSource } from './byteSource.ts';
import { clipXmp } from './contents.ts';

// EBML (RFC 8794): a tree of elements, each an identifier and a size. Both are numbers whose first byte tells by its
// leading zeros how many bytes they have. Matroska (RFC 9559): a header and one segment, in it clusters of frames and,
// before or behind them, attached files.
const id = {
  header: 0x1a45dfa3,
  segment: 0x18538067,
  attachments: 0x1941a469,
  attachedFile: 0x61a7,
  fileName: 0x466e,
  mediaType: 0x4660,
  fileData: 0x465c,
} as const;

/** One element; its place counts from the start of the source. */
interface Element {
  readonly id: number;
  readonly start: number;
  /** At most that of what it lies in. */
  readonly end: number;
  /** Where it ends by its own account; undefined where the writer did not know it, as in a recording that was streamed. */
  readonly claimedEnd?: number;
}

// A recording has a cluster of frames every few seconds.
const maxElements = 20_000;
const maxAttachments = 64;
const maxFileElements = 16;
const maxNameBytes = 1024;

/** XMP packets among a Matroska file's attachments; undefined where the file is none. */
export function matroskaContents(source: ByteSource): ReturnType<typeof clipXmp> | undefined {
  const segment = segmentOf(source);
  if (segment === undefined) return undefined;
  const packets = elements(source, segment, maxElements)
    .filter((element) => element.id === id.attachments)
    .flatMap((part) => elements(source, part, maxAttachments))
    .flatMap((file) => (file.id === id.attachedFile ? (xmpIn(source, file) ?? []) : []));
  return clipXmp(source, packets);
}

/** Where the segment ends by its own account; undefined where that is not known, or the file is no Matroska. */
export function matroskaEnd(source: ByteSource): number | undefined {
  return segmentOf(source)?.claimedEnd;
}

function segmentOf(source: ByteSource): Element | undefined {
  const header = elementAt(source, 0, source.sizeBytes);
  if (header?.id !== id.header) return undefined;
  const segment = elementAt(source, header.end, source.sizeBytes);
  return segment?.id === id.segment ? segment : undefined;
}

function xmpIn(source: ByteSource, file: Element): Element | undefined {
  const parts = elements(source, file, maxFileElements);
  const find = (wanted: number): Element | undefined => parts.find((part) => part.id === wanted);
  const text = (element: Element | undefined): string =>
    element === undefined
      ? ''
      : source.read(element.start, Math.min(maxNameBytes, element.end - element.start)).toString('latin1');
  const isXmp = text(find(id.mediaType)) === 'application/rdf+xml' || /\.xmp$/i.test(text(find(id.fileName)));
  return isXmp ? find(id.fileData) : undefined;
}

function elements(source: ByteSource, parent: Element, limit: number): Element[] {
  const children: Element[] = [];
  for (let at = parent.start; at < parent.end && children.length < limit;) {
    const element = elementAt(source, at, parent.end);
    if (element === undefined) break;
    children.push(element);
    at = element.end;
  }
  return children;
}

function elementAt(source: ByteSource, at: number, limit: number): Element | undefined {
  const head = source.read(at, 12);
  const idBytes = widthOf(head[0], 4);
  const sizeBytes = idBytes && widthOf(head[idBytes], 8);
  if (idBytes === undefined || sizeBytes === undefined || head.length < idBytes + sizeBytes) return undefined;
  const start = at + idBytes + sizeBytes;
  const bodyBytes = sizeIn(head.subarray(idBytes, idBytes + sizeBytes));
  const claimedEnd = bodyBytes === undefined ? undefined : start + bodyBytes;
  return { id: head.readUIntBE(0, idBytes), start, end: Math.min(claimedEnd ?? limit, limit), claimedEnd };
}

function widthOf(first: number | undefined, most: number): number | undefined {
  const width = first === undefined || first === 0 ? 9 : Math.clz32(first) - 23;
  return width <= most ? width : undefined;
}

/** All ones behind the leading zeros stand for an unknown size. */
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
