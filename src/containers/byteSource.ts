import { readSync } from 'node:fs';

/**
 * Bytes that can be asked for by place: a file, or a part of one. A read never passes the end: what lies beyond is
 * simply not in the answer, so the length of the answer is the only bounds check that callers need.
 */
export interface ByteSource {
  readonly sizeBytes: number;
  read(offset: number, length: number): Buffer;
}

// Headers lie close together, so most small reads are answered from one window; larger windows would make a
// sparse file of widely spaced headers expensive.
const windowBytes = 4096;

/** Bytes of an open file, by position: the descriptor's own offset is left alone. */
export function fileSource(media: { readonly fd: number; readonly sizeBytes: number }): ByteSource {
  let window: Buffer = Buffer.alloc(0);
  let windowStart = 0;
  return {
    sizeBytes: media.sizeBytes,
    read(offset, length) {
      const wanted = lengthInside(offset, length, media.sizeBytes);
      if (wanted > windowBytes) return readAt(media.fd, offset, wanted);
      if (offset < windowStart || offset + wanted > windowStart + window.length) {
        window = readAt(media.fd, offset, lengthInside(offset, windowBytes, media.sizeBytes));
        windowStart = offset;
      }
      return window.subarray(offset - windowStart, offset - windowStart + wanted);
    },
  };
}

export function bytesSource(bytes: Uint8Array): ByteSource {
  const buffer = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  return {
    sizeBytes: buffer.length,
    read: (offset, length) => buffer.subarray(offset, offset + lengthInside(offset, length, buffer.length)),
  };
}

/** A part of another source; nothing outside it can be reached through the result. */
export function partSource(source: ByteSource, start: number, length: number): ByteSource {
  const sizeBytes = lengthInside(start, length, source.sizeBytes);
  return {
    sizeBytes,
    read: (offset, wanted) => source.read(start + offset, lengthInside(offset, wanted, sizeBytes)),
  };
}

function lengthInside(offset: number, length: number, sizeBytes: number): number {
  return Math.max(0, Math.min(length, sizeBytes - offset));
}

function readAt(fd: number, offset: number, length: number): Buffer {
  const bytes = Buffer.alloc(length);
  let filled = 0;
  while (filled < length) {
    const count = readSync(fd, bytes, filled, length - filled, offset + filled);
    if (count === 0) break;
    filled += count;
  }
  return bytes.subarray(0, filled);
}

/** Text from bytes whose encoding nobody recorded: by its byte order mark, as UTF-8 where that fits, else Latin-1. */
export function decodeText(bytes: Uint8Array): string {
  if (bytes[0] === 0xff && bytes[1] === 0xfe) return new TextDecoder('utf-16le').decode(bytes);
  if (bytes[0] === 0xfe && bytes[1] === 0xff) return new TextDecoder('utf-16be').decode(bytes);
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    return new TextDecoder('latin1').decode(bytes);
  }
}
