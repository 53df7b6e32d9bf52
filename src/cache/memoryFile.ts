import { createHash } from 'node:crypto';
import { deserialize, serialize } from 'node:v8';
import { deflateRawSync, inflateRawSync } from 'node:zlib';

// One file holds one value: a digest of all that follows, the digest of its key, and the compressed value. A file that
// was cut off, damaged, renamed or put there by somebody else does not agree with itself or with its name and is
// nothing. Values are written as Node copies them between threads and not as JSON, because -0, bytes and numbers that
// are not finite come back as they were.

const digestBytes = 32;
/** A value that would be larger is not remembered, and a file that claims to hold one is not unpacked. */
const mostBytes = 64 << 20;

/** The name of the file for a key: 64 hex digits, whatever the key holds. */
export function nameOfKey(key: string): string {
  return createHash('sha256').update(key).digest('hex');
}

/** The bytes of the file that holds a value; undefined for one that is too large. */
export function packed(key: string, value: unknown): Buffer | undefined {
  const plain = serialize(value);
  if (plain.length > mostBytes) return undefined;
  const body = Buffer.concat([Buffer.from(nameOfKey(key), 'hex'), deflateRawSync(plain)]);
  return Buffer.concat([digest(body), body]);
}

/** The value that a file holds for a key; undefined where it is not whole or not of this key. */
export function unpacked(key: string, file: Buffer): unknown {
  const body = file.subarray(digestBytes);
  if (!file.subarray(0, digestBytes).equals(digest(body))) return undefined;
  if (body.toString('hex', 0, digestBytes) !== nameOfKey(key)) return undefined;
  try {
    return deserialize(inflateRawSync(body.subarray(digestBytes), { maxOutputLength: mostBytes }));
  } catch {
    return undefined;
  }
}

function digest(bytes: Uint8Array): Buffer {
  return createHash('sha256').update(bytes).digest();
}
