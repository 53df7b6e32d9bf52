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
  /** How the places of the Exif and GPS directories are stored: LONG where left out. */
  readonly pointerType?: keyof typeof pointerBytes;
}

/** SHORT, LONG, SLONG, IFD; and of a BigTIFF LONG8, SLONG8, IFD8. */
const pointerBytes = { 3: 2, 4: 4, 9: 4, 13: 4, 16: 8, 17: 8, 18: 8 };

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
    if (size === 8) {
      if (littleEndian) bytes.writeBigInt64LE(BigInt(value));
      else bytes.writeBigInt64BE(BigInt(value));
    } else if (littleEndian) bytes.writeUIntLE(value < 0 ? value + 2 ** (8 * size) : value, 0, size);
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
export function tiffBlock({
  littleEndian = true,
  main = [],
  exif = [],
  gps = [],
  pointerType = 4,
}: BlockParts): Buffer {
  const { integer } = fields(littleEndian);
  const pointer = pointerField(integer, pointerType);
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
    directory([...main, pointer(0x8769, exifAt), pointer(0x8825, gpsAt)]),
    directory(exif),
    directory(gps),
    ...values,
  ]);
}

type Integer = ReturnType<typeof fields>['integer'];

const pointerField = (integer: Integer, type: keyof typeof pointerBytes) => (tag: number, at: number) => ({
  tag,
  type,
  count: 1,
  bytes: integer(at, pointerBytes[type]),
});

/** The same as a BigTIFF: counts and places of 8 bytes, entries of 20. */
export function bigTiffBlock({
  littleEndian = true,
  main = [],
  exif = [],
  gps = [],
  pointerType = 18,
}: BlockParts): Buffer {
  const { integer } = fields(littleEndian);
  const pointer = pointerField(integer, pointerType);
  const directoryBytes = (count: number) => 8 + count * 20 + 8;
  const exifAt = 16 + directoryBytes(main.length + 2);
  const gpsAt = exifAt + directoryBytes(exif.length);
  let valuesAt = gpsAt + directoryBytes(gps.length);
  const values: Buffer[] = [];
  const directory = (entries: readonly Field[]) => {
    const lines = entries.map(({ tag, type, count, bytes }) => {
      const head = [integer(tag, 2), integer(type, 2), integer(count, 8)];
      if (bytes.length <= 8) return Buffer.concat([...head, bytes, Buffer.alloc(8 - bytes.length)]);
      values.push(bytes);
      valuesAt += bytes.length;
      return Buffer.concat([...head, integer(valuesAt - bytes.length, 8)]);
    });
    return Buffer.concat([integer(entries.length, 8), ...lines, integer(0, 8)]);
  };
  return Buffer.concat([
    Buffer.from(littleEndian ? 'II' : 'MM'),
    Buffer.concat([integer(43, 2), integer(8, 2), integer(0, 2), integer(16, 8)]),
    directory([...main, pointer(0x8769, exifAt), pointer(0x8825, gpsAt)]),
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
