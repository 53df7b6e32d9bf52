import type { ByteSource } from './byteSource.ts';

/** One box of an ISO base media file (ISO/IEC 14496-12, 4.2). Places count from the start of the source. */
export interface IsoBox {
  readonly type: string;
  readonly bodyStart: number;
  readonly end: number;
  /** 32 lower-case hex digits; only for boxes of type `uuid`. */
  readonly userType?: string;
}

/**
 * The boxes that lie side by side in one stretch, up to the first that is damaged or cut short, or the last of as many
 * as are allowed. Never descends and reads headers only.
 */
export function isoBoxes(source: ByteSource, start: number, end: number, maxBoxes: number): IsoBox[] {
  const boxes: IsoBox[] = [];
  const limit = Math.min(end, source.sizeBytes);
  for (let offset = start; offset + 8 <= limit && boxes.length < maxBoxes;) {
    const box = boxAt(source, offset, limit);
    if (!box) break;
    boxes.push(box);
    offset = box.end;
  }
  return boxes;
}

function boxAt(source: ByteSource, start: number, limit: number): IsoBox | undefined {
  const head = source.read(start, 32);
  const type = head.toString('latin1', 4, 8);
  const smallSize = head.readUInt32BE(0);
  let headerBytes = 8;
  let size = smallSize === 0 ? limit - start : smallSize;
  if (smallSize === 1) {
    if (head.length < 16) return undefined;
    size = Number(head.readBigUInt64BE(8));
    headerBytes = 16;
  }
  const userTypeAt = headerBytes;
  if (type === 'uuid') headerBytes += 16;
  if (size < headerBytes || start + size > limit) return undefined;
  const box = { type, bodyStart: start + headerBytes, end: start + size };
  return type === 'uuid' ? { ...box, userType: head.toString('hex', userTypeAt, userTypeAt + 16) } : box;
}

// Tables of thousands of entries are not made of boxes.
const maxChildren = 256;

/** The boxes inside a box whose body is nothing but boxes; none where there is no such box. */
export function childBoxes(source: ByteSource, box: IsoBox | undefined): readonly IsoBox[] {
  return box === undefined ? [] : isoBoxes(source, box.bodyStart, box.end, maxChildren);
}

export function firstOfType(boxes: readonly IsoBox[], type: string): IsoBox | undefined {
  return boxes.find((box) => box.type === type);
}

/** The part of a full box after its version and flags, with both (ISO/IEC 14496-12, 4.2.2). */
export function fullBoxBody(
  source: ByteSource,
  box: IsoBox,
  maxBytes: number,
): { readonly version: number; readonly flags: number; readonly body: Buffer } | undefined {
  const length = box.end - box.bodyStart;
  if (length < 4 || length > maxBytes) return undefined;
  const bytes = source.read(box.bodyStart, length);
  return { version: bytes.readUInt8(0), flags: bytes.readUIntBE(1, 3), body: bytes.subarray(4) };
}
