import type { ByteSource } from './byteSource.ts';

// EBML (RFC 8794): a tree of elements, each an identifier and a size. Both are numbers whose first byte tells by its
// leading zeros how many bytes they have.

/** Identifiers with which every Matroska file begins (RFC 8794, 11.2.1; RFC 9559, 5.1). */
export const ebmlHeader = 0x1a45dfa3;
export const matroskaSegment = 0x18538067;

/** One element; its place counts from the start of the source. */
export interface EbmlElement {
  readonly id: number;
  readonly bodyStart: number;
  /** Undefined where the writer did not know it, as in a recording that was streamed. */
  readonly bodyBytes: number | undefined;
}

/** The element that begins at a place; undefined where none does. Its body may lie beyond the end. */
export function ebmlElement(source: ByteSource, start: number): EbmlElement | undefined {
  const head = source.read(start, 12);
  const idBytes = widthOf(head[0], 4);
  const sizeBytes = idBytes && widthOf(head[idBytes], 8);
  if (idBytes === undefined || sizeBytes === undefined || head.length < idBytes + sizeBytes) return undefined;
  return {
    id: head.readUIntBE(0, idBytes),
    bodyStart: start + idBytes + sizeBytes,
    bodyBytes: sizeIn(head.subarray(idBytes, idBytes + sizeBytes)),
  };
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
