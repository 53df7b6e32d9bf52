/** Builds TIFF blocks byte by byte, independently of the code under test (TIFF 6.0, section 2). */

export interface Field {
  readonly tag: number;
  readonly type: number;
  readonly count: number;
  readonly bytes: Buffer;
}

export interface BlockParts {
  readonly littleEndian?: boolean;
  readonly main?: readonly Field[];
  readonly exif?: readonly Field[];
  readonly gps?: readonly Field[];
}

const sizes = {
  byte: 1,
  ascii: 2,
  short: 3,
  long: 4,
  rational: 5,
  undefined: 7,
  signedShort: 8,
  signedRational: 10,
};

/** Fields in one byte order. */
export function fields(littleEndian: boolean) {
  const integer = (value: number, size: number) => {
    const bytes = Buffer.alloc(size);
    if (littleEndian) bytes.writeUIntLE(value < 0 ? value + 2 ** (8 * size) : value, 0, size);
    else bytes.writeUIntBE(value < 0 ? value + 2 ** (8 * size) : value, 0, size);
    return bytes;
  };
  const many = (values: readonly number[], size: number) =>
    Buffer.concat(values.map((each) => integer(each, size)));
  return {
    byte: (tag: number, ...values: number[]): Field => ({
      tag,
      type: 1,
      count: values.length,
      bytes: many(values, 1),
    }),
    short: (tag: number, ...values: number[]): Field => ({
      tag,
      type: 3,
      count: values.length,
      bytes: many(values, 2),
    }),
    long: (tag: number, ...values: number[]): Field => ({
      tag,
      type: 4,
      count: values.length,
      bytes: many(values, 4),
    }),
    rational: (tag: number, ...pairs: number[]): Field => ({
      tag,
      type: sizes.rational,
      count: pairs.length / 2,
      bytes: many(pairs, 4),
    }),
    signedRational: (tag: number, ...pairs: number[]): Field => ({
      tag,
      type: sizes.signedRational,
      count: pairs.length / 2,
      bytes: many(pairs, 4),
    }),
    ascii: (tag: number, text: string): Field => {
      const bytes = Buffer.from(`${text}\0`, 'latin1');
      return { tag, type: sizes.ascii, count: bytes.length, bytes };
    },
    integer,
  };
}

/** A block with three directories, values behind them. */
export function tiffBlock({ littleEndian = true, main = [], exif = [], gps = [] }: BlockParts): Buffer {
  const { integer, long } = fields(littleEndian);
  const directoryBytes = (count: number) => 2 + count * 12 + 4;
  const exifAt = 8 + directoryBytes(main.length + 2);
  const gpsAt = exifAt + directoryBytes(exif.length);
  let valuesAt = gpsAt + directoryBytes(gps.length);
  const values: Buffer[] = [];
  const directory = (entries: readonly Field[]) => {
    const lines = entries.map(({ tag, type, count, bytes }) => {
      const head = Buffer.concat([integer(tag, 2), integer(type, 2), integer(count, 4)]);
      if (bytes.length <= 4) return Buffer.concat([head, bytes, Buffer.alloc(4 - bytes.length)]);
      const place = integer(valuesAt, 4);
      values.push(bytes);
      valuesAt += bytes.length;
      return Buffer.concat([head, place]);
    });
    return Buffer.concat([integer(entries.length, 2), ...lines, integer(0, 4)]);
  };
  return Buffer.concat([
    Buffer.from(littleEndian ? 'II' : 'MM'),
    integer(42, 2),
    integer(8, 4),
    directory([...main, long(0x8769, exifAt), long(0x8825, gpsAt)]),
    directory(exif),
    directory(gps),
    ...values,
  ]);
}

export function jpegSegment(marker: number, body: Buffer): Buffer {
  const head = Buffer.from([0xff, marker, 0, 0]);
  head.writeUInt16BE(body.length + 2, 2);
  return Buffer.concat([head, body]);
}

/** SOI, the segments, a frame header of 4000 x 3000 at 8 bits, start of scan. */
export function jpegFile(...segments: Buffer[]): Buffer {
  const frame = jpegSegment(
    0xc0,
    Buffer.from([8, 3000 >> 8, 3000 & 255, 4000 >> 8, 4000 & 255, 1, 1, 0x11, 0]),
  );
  return Buffer.concat([
    Buffer.from([0xff, 0xd8]),
    ...segments,
    frame,
    Buffer.from([0xff, 0xda, 0, 2, 0xff, 0xd9]),
  ]);
}

export function exifSegment(block: Buffer): Buffer {
  return jpegSegment(0xe1, Buffer.concat([Buffer.from('Exif\0\0', 'latin1'), block]));
}
