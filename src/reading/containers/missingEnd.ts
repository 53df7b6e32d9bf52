import type { ByteSource } from './byteSource.ts';
import { matroskaEnd } from './matroska.ts';
import { mxfEnd } from './mxf.ts';

// A program that only looks at the beginning of a clip does not notice that its end is missing. These containers say in
// their first bytes how long they are; one that was written without knowing says nothing, and a transport stream never
// does. MP4 and MOV have their own walk, mp4.ts.

/** How many bytes a clip lacks at its end by what its own header says; undefined where it is whole or does not say. */
export function missingEnd(source: ByteSource): number | undefined {
  const claimed = aviEnd(source) ?? matroskaEnd(source) ?? mxfEnd(source);
  if (claimed === undefined || !Number.isSafeInteger(claimed)) return undefined;
  return claimed > source.sizeBytes ? claimed - source.sizeBytes : undefined;
}

/** RIFF: a 32-bit size behind the first four bytes. Larger files have more than one such chunk; the first counts. */
function aviEnd(source: ByteSource): number | undefined {
  const head = source.read(0, 12);
  if (head.toString('latin1', 0, 4) !== 'RIFF' || head.toString('latin1', 8, 12) !== 'AVI ') return undefined;
  const size = head.readUInt32LE(4);
  // Zero, or all ones, is what stands there until the end is written.
  return size === 0 || size >= 0xffff_fff0 ? undefined : size + 8;
}
