import { closeSync, ftruncateSync, openSync, writeFileSync, writeSync } from 'node:fs';
import type { Expected, HostileKind, HostileMaker, Materials, Stretch } from './cases.ts';

interface Described {
  readonly at: string | Buffer;
  readonly what: string;
  readonly kind: HostileKind;
  readonly expect: Expected;
}

/** A case that is one file with these bytes. */
export function fileCase(
  described: Described,
  content: (materials: Materials) => Uint8Array | string,
): HostileMaker {
  return { ...described, make: (path, materials) => writeFileSync(path, content(materials)) };
}

/** A case that is one file with holes in it. */
export function sparseCase(
  described: Described,
  content: (materials: Materials) => readonly Stretch[],
): HostileMaker {
  return { ...described, make: (path, materials) => writeSparse(path, content(materials)) };
}

function writeSparse(path: Buffer, stretches: readonly Stretch[]): void {
  const file = openSync(path, 'w');
  try {
    let at = 0;
    for (const stretch of stretches) {
      if ('hole' in stretch) at += stretch.hole;
      else at += writeSync(file, stretch, 0, stretch.length, at);
    }
    ftruncateSync(file, at);
  } finally {
    closeSync(file);
  }
}

/** A path with another ending of as many letters: CLIP0001.XMP -> CLIP0001.JPG. */
export function withEnding(path: Buffer, ending: string): Buffer {
  return Buffer.concat([path.subarray(0, path.length - ending.length), Buffer.from(ending)]);
}

/** Names for print: everything that is not printable ASCII, and the backslash, as \xNN. */
export function printable(path: Buffer): string {
  return [...path]
    .map((byte) =>
      byte < 0x20 || byte > 0x7e || byte === 0x5c
        ? `\\x${byte.toString(16).padStart(2, '0')}`
        : String.fromCharCode(byte),
    )
    .join('');
}
