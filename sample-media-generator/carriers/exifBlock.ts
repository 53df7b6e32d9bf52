import { latin1, u16Le, u32Le } from './bytes.ts';

/** One entry of an image file directory: tag, type and count as TIFF 6.0 and CIPA DC-008 define them, and the value. */
export interface TiffEntry {
  readonly tag: number;
  readonly type: number;
  readonly count: number;
  readonly value: Buffer;
}

export const short = (tag: number, value: number): TiffEntry => ({
  tag,
  type: 3,
  count: 1,
  value: u16Le(value),
});
export const long = (tag: number, value: number): TiffEntry => ({
  tag,
  type: 4,
  count: 1,
  value: u32Le(value),
});

export function text(tag: number, words: string): TiffEntry {
  const value = latin1(`${words}\0`);
  return { tag, type: 2, count: value.length, value };
}

export function rational(tag: number, numerator: number, denominator: number): TiffEntry {
  return { tag, type: 5, count: 1, value: Buffer.concat([u32Le(numerator), u32Le(denominator)]) };
}

/** A directory at an offset of its file (little-endian), with the values that do not fit in four bytes behind it. */
export function directory(entries: readonly TiffEntry[], offset: number, next = 0): Buffer {
  let valueAt = offset + 2 + entries.length * 12 + 4;
  const values: Buffer[] = [];
  const rows = entries.map(({ tag, type, count, value }) => {
    const head = Buffer.concat([u16Le(tag), u16Le(type), u32Le(count)]);
    if (value.length <= 4) return Buffer.concat([head, value, Buffer.alloc(4 - value.length)]);
    const row = Buffer.concat([head, u32Le(valueAt)]);
    values.push(value);
    valueAt += value.length;
    return row;
  });
  return Buffer.concat([u16Le(entries.length), ...rows, u32Le(next), ...values]);
}

export interface ExifFacts {
  /** The exposure time as it is stored, numerator and denominator. */
  readonly exposure: readonly [number, number];
  readonly fNumber: number;
  readonly iso: number;
  readonly recordedAt: string;
  readonly more?: readonly TiffEntry[];
}

const EXIF_POINTER = 0x8769;
const FIRST_DIRECTORY = 8;

/** A TIFF stream with a camera directory and an Exif directory. */
export function exifBlock({ exposure, fNumber, iso, recordedAt, more = [] }: ExifFacts): Buffer {
  const camera = (pointer: number) =>
    directory([text(0x10f, 'Aeroform'), text(0x110, 'A1'), long(EXIF_POINTER, pointer)], FIRST_DIRECTORY);
  const pointer = FIRST_DIRECTORY + camera(0).length;
  const entries = [
    rational(0x829a, ...exposure),
    rational(0x829d, Math.round(fNumber * 10), 10),
    short(0x8827, iso),
    text(0x9003, recordedAt),
    ...more,
  ];
  const photo = directory(
    entries.toSorted((a, b) => a.tag - b.tag),
    pointer,
  );
  return Buffer.concat([tiffHeader(FIRST_DIRECTORY), camera(pointer), photo]);
}

export function tiffHeader(firstDirectory: number): Buffer {
  return Buffer.concat([latin1('II'), u16Le(42), u32Le(firstDirectory)]);
}

/** A JPEG segment: marker, length, payload (ITU-T T.81, B.1.1.4). */
export function jpegSegment(marker: number, payload: Uint8Array): Buffer {
  const length = Buffer.alloc(2);
  length.writeUInt16BE(payload.length + 2);
  return Buffer.concat([Buffer.from([0xff, marker]), length, payload]);
}

export function exifSegment(tiff: Uint8Array): Buffer {
  return jpegSegment(0xe1, Buffer.concat([latin1('Exif\0\0'), tiff]));
}

/** Puts segments right behind the start-of-image marker. */
export function withSegments(jpeg: Buffer, ...segments: readonly Uint8Array[]): Buffer {
  return Buffer.concat([jpeg.subarray(0, 2), ...segments, jpeg.subarray(2)]);
}
