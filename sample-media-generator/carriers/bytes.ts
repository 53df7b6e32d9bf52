/** Numbers as the bytes that media formats keep; big-endian unless the name ends in Le. */
function number(size: number, write: (bytes: Buffer) => void): Buffer {
  const bytes = Buffer.alloc(size);
  write(bytes);
  return bytes;
}

export const u8 = (value: number) => number(1, (bytes) => bytes.writeUInt8(value));
export const u16 = (value: number) => number(2, (bytes) => bytes.writeUInt16BE(value));
export const u32 = (value: number) => number(4, (bytes) => bytes.writeUInt32BE(value));
export const u64 = (value: bigint) => number(8, (bytes) => bytes.writeBigUInt64BE(value));
export const i16 = (value: number) => number(2, (bytes) => bytes.writeInt16BE(value));
export const i32 = (value: number) => number(4, (bytes) => bytes.writeInt32BE(value));
export const i64 = (value: bigint) => number(8, (bytes) => bytes.writeBigInt64BE(value));
export const f32 = (value: number) => number(4, (bytes) => bytes.writeFloatBE(value));
export const f64 = (value: number) => number(8, (bytes) => bytes.writeDoubleBE(value));
export const u16Le = (value: number) => number(2, (bytes) => bytes.writeUInt16LE(value));
export const u32Le = (value: number) => number(4, (bytes) => bytes.writeUInt32LE(value));
export const u64Le = (value: bigint) => number(8, (bytes) => bytes.writeBigUInt64LE(value));
export const i32Le = (value: number) => number(4, (bytes) => bytes.writeInt32LE(value));
export const f32Le = (value: number) => number(4, (bytes) => bytes.writeFloatLE(value));
export const f64Le = (value: number) => number(8, (bytes) => bytes.writeDoubleLE(value));
export const latin1 = (text: string) => Buffer.from(text, 'latin1');
export const utf8 = (text: string) => Buffer.from(text, 'utf8');
export const hex = (digits: string) => Buffer.from(digits.replaceAll(/[\s.]/g, ''), 'hex');

/** The same bytes, many times over. */
export function repeated(part: Uint8Array, times: number): Buffer {
  return Buffer.alloc(part.length * times, part);
}
