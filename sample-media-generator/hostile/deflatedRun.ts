import { constants, deflateRawSync } from 'node:zlib';
import { hex, u32 } from '../carriers/bytes.ts';

const BLOCK = 1 << 20;

/** A zlib stream (RFC 1950) of one byte repeated in whole mebibytes, made without holding what it unpacks to. */
export function deflatedRun(byte: number, mebibytes: number): Buffer {
  const block = deflateRawSync(Buffer.alloc(BLOCK, byte), { finishFlush: constants.Z_FULL_FLUSH, level: 9 });
  const blocks = Array.from({ length: mebibytes }, () => block);
  const emptyLastBlock = hex('0300');
  return Buffer.concat([hex('78DA'), ...blocks, emptyLastBlock, adlerOfRun(byte, mebibytes * BLOCK)]);
}

/** Adler-32 of n times one byte x: a = 1 + nx, b = n + x n(n+1)/2, both modulo 65521. */
function adlerOfRun(byte: number, count: number): Buffer {
  const [x, n, modulus] = [BigInt(byte), BigInt(count), 65521n];
  const a = (1n + n * x) % modulus;
  const b = (n + (x * n * (n + 1n)) / 2n) % modulus;
  return u32(Number((b << 16n) | a));
}
