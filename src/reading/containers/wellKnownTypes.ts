import { decodeText } from '../textDecoding.ts';

// QuickTime File Format Specification, "Well-known types"; used by the movie's metadata keys and by timed metadata.
const utf8 = 1;
const utf16 = 2;
const signedInteger = 21;
const unsignedInteger = 22;
const float32 = 23;
const float64 = 24;
const signedWidths: ReadonlyMap<number, number> = new Map([
  [65, 1],
  [66, 2],
  [67, 4],
  [74, 8],
]);
const unsignedWidths: ReadonlyMap<number, number> = new Map([
  [75, 1],
  [76, 2],
  [77, 4],
  [78, 8],
]);

const longestText = 1024;

/** A value stored with its well-known type; undefined where its length does not fit the type, or it is neither a number nor text. */
export function wellKnownValue(type: number, bytes: Buffer): number | string | undefined {
  if (type === utf8) return decodeText(bytes.subarray(0, longestText)).replace(/\0.*$/s, '');
  if (type === utf16) return utf16Text(bytes.subarray(0, longestText));
  if (type === float32) return bytes.length === 4 ? shortestOfFloat32(bytes.readFloatBE(0)) : undefined;
  if (type === float64) return bytes.length === 8 ? bytes.readDoubleBE(0) : undefined;
  const signed = type === signedInteger ? bytes.length : signedWidths.get(type);
  const unsigned = type === unsignedInteger ? bytes.length : unsignedWidths.get(type);
  const width = signed ?? unsigned;
  if (width === undefined || width !== bytes.length) return undefined;
  if (width === 8) return Number(signed === undefined ? bytes.readBigUInt64BE(0) : bytes.readBigInt64BE(0));
  if (width < 1 || width > 4) return undefined;
  return signed === undefined ? bytes.readUIntBE(0, width) : bytes.readIntBE(0, width);
}

function utf16Text(bytes: Buffer): string {
  const even = Buffer.from(bytes.subarray(0, bytes.length & ~1)).swap16();
  return even
    .toString('utf16le')
    .replace(/^\uFEFF/, '')
    .replace(/\0.*$/s, '');
}

/** 2.8 is stored as 2.7999999523: the shortest decimal that is stored the same is what was meant. */
export function shortestOfFloat32(value: number): number {
  if (!Number.isFinite(value)) return value;
  for (let digits = 6; digits < 9; digits++) {
    const shorter = Number(value.toPrecision(digits));
    if (Math.fround(shorter) === value) return shorter;
  }
  return value;
}
