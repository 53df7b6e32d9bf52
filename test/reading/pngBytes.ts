import { crc32, deflateSync } from 'node:zlib';
import { uint } from './isoBoxBytes.ts';

/** Builds PNG files chunk by chunk (W3C PNG specification, 5.3), independently of the code under test. */

export function pngChunk(type: string, body: Buffer): Buffer {
  const named = Buffer.concat([Buffer.from(type, 'latin1'), body]);
  return Buffer.concat([uint(body.length, 4), named, uint(crc32(named), 4)]);
}

/** 640 x 480 at 8 bits, without picture data. */
export function pngFile(...chunks: Buffer[]): Buffer {
  return Buffer.concat([
    Buffer.from('\x89PNG\r\n\x1a\n', 'latin1'),
    pngChunk('IHDR', Buffer.concat([uint(640, 4), uint(480, 4), Buffer.from([8, 2, 0, 0, 0])])),
    ...chunks,
    pngChunk('IEND', Buffer.alloc(0)),
  ]);
}

/** A name, the length, and digits in lines of 72, as several converters write them. */
export function rawProfileText(name: string, bytes: Buffer): string {
  const digits = bytes.toString('hex').replaceAll(/.{72}/g, '$&\n');
  return `\n${name}\n${String(bytes.length).padStart(8)}\n${digits}\n`;
}

export function rawProfileChunk(name: string, text: string, packed: boolean): Buffer {
  const keyword = Buffer.from(`Raw profile type ${name}\0`, 'latin1');
  const plain = Buffer.from(text, 'latin1');
  return packed
    ? pngChunk('zTXt', Buffer.concat([keyword, Buffer.from([0]), deflateSync(plain)]))
    : pngChunk('tEXt', Buffer.concat([keyword, plain]));
}
