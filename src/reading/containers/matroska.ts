import type { Refusal } from '../../domain/recording.ts';
import type { ByteSource } from './byteSource.ts';
import { ebmlElement, ebmlHeader, matroskaSegment } from './ebml.ts';
import { maxXmpBytes } from './metadataBounds.ts';

// Matroska (RFC 9559): one segment, in it clusters of frames and, before or behind them, attached files.
const id = {
  attachments: 0x1941a469,
  attachedFile: 0x61a7,
  fileName: 0x466e,
  mediaType: 0x4660,
  fileData: 0x465c,
} as const;

/** An element with its end, at most that of what it lies in. */
interface Element {
  readonly id: number;
  readonly start: number;
  readonly end: number;
}

export interface MatroskaContents {
  readonly xmp: readonly Uint8Array[];
  readonly refusals: readonly Refusal[];
}

// A recording has a cluster of frames every few seconds.
const maxElements = 20_000;
const maxAttachments = 64;
const maxNameBytes = 1024;

/** XMP packets among a Matroska file's attachments; undefined where the file is none. */
export function matroskaContents(source: ByteSource): MatroskaContents | undefined {
  const head = elementAt(source, 0, source.sizeBytes);
  if (head?.id !== ebmlHeader) return undefined;
  const segment = elementAt(source, head.end, source.sizeBytes);
  if (segment?.id !== matroskaSegment) return undefined;
  const packets = elements(source, segment, maxElements)
    .filter((one) => one.id === id.attachments)
    .flatMap((part) => elements(source, part, maxAttachments))
    .flatMap((file) => (file.id === id.attachedFile ? (xmpIn(source, file) ?? []) : []));
  const fits = packets.filter((packet) => bytesOf(packet) <= maxXmpBytes);
  return {
    xmp: fits.map((packet) => source.read(packet.start, bytesOf(packet))),
    refusals: packets.filter((packet) => !fits.includes(packet)).map(tooLarge),
  };
}

/** The data of an attached file that is XMP. */
function xmpIn(source: ByteSource, file: Element): Element | undefined {
  const parts = elements(source, file, 16);
  const find = (wanted: number): Element | undefined => parts.find((one) => one.id === wanted);
  const text = (element: Element | undefined): string =>
    element === undefined
      ? ''
      : source.read(element.start, Math.min(maxNameBytes, bytesOf(element))).toString('latin1');
  const isXmp = text(find(id.mediaType)) === 'application/rdf+xml' || /\.xmp$/i.test(text(find(id.fileName)));
  return isXmp ? find(id.fileData) : undefined;
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
  const element = ebmlElement(source, at);
  if (element === undefined) return undefined;
  const { id: own, bodyStart, bodyBytes = Infinity } = element;
  return { id: own, start: bodyStart, end: Math.min(bodyStart + bodyBytes, limit) };
}

function bytesOf({ start, end }: Element): number {
  return Math.max(0, end - start);
}

function tooLarge(packet: Element): Refusal {
  const raw = `${bytesOf(packet)} bytes`;
  return { what: 'XMP', raw, source: 'XMP in the clip', reason: `is larger than ${maxXmpBytes} bytes` };
}
