import { latin1, u16, u32 } from '../carriers/bytes.ts';
import { box, boxAt, boxesIn, fullBox, handlerBox, withBoxesInMoov } from '../carriers/isoBoxes.ts';
import type { Materials } from './cases.ts';

/** A box with whatever size one likes to write. */
export function liar(size: number, type: string, ...parts: readonly Uint8Array[]): Buffer {
  return Buffer.concat([u32(size), latin1(type), ...parts]);
}

/** A picture track with a sample table of our own. */
function track({ edits = [] }: { readonly edits?: readonly Buffer[] }, ...tables: readonly Buffer[]): Buffer {
  const header = fullBox('tkhd', 0, 7, Buffer.alloc(8), u32(9), Buffer.alloc(68));
  const mediaHeader = fullBox('mdhd', 0, 0, Buffer.alloc(8), u32(1000), u32(50_000_000), u16(0x55c4), u16(0));
  const entry = box('mp4v', Buffer.alloc(6), u16(1), Buffer.alloc(16), u16(160), u16(90), Buffer.alloc(50));
  const table = box('stbl', fullBox('stsd', 0, 0, u32(1), entry), ...tables);
  const information = box('minf', fullBox('vmhd', 0, 1, Buffer.alloc(8)), table);
  return box('trak', header, ...edits, box('mdia', mediaHeader, handlerBox('vide', ''), information));
}

/** Tables that say 50 million samples in a few bytes. */
export function endlessSamples(samples: number): Buffer {
  return track(
    {},
    fullBox('stts', 0, 0, u32(1), u32(samples), u32(1)),
    fullBox('stsc', 0, 0, u32(1), u32(1), u32(samples), u32(1)),
    fullBox('stsz', 0, 0, u32(1), u32(samples)),
    fullBox('stco', 0, 0, u32(20_000), Buffer.alloc(80_000)),
  );
}

export function manyTracks({ clip: file }: Materials, count: number): Buffer {
  const moov = boxAt(file, 'moov');
  const place = moov && boxesIn(moov).find(({ type }) => type === 'trak');
  if (moov === undefined || place === undefined) throw new Error('the good clip must have a track');
  const original = moov.subarray(place.start, place.end);
  const copies = Array.from({ length: count }, (_, index) => {
    const copy = Buffer.from(original);
    copy.writeUInt32BE(index + 2, copy.indexOf('tkhd') + 16);
    return copy;
  });
  return withBoxesInMoov(file, ...copies);
}

/** A track of one sample whose edit list claims 2 billion edits. */
export function edited(): Buffer {
  const list = box('edts', fullBox('elst', 0, 0, u32(0x7fffffff), u32(1000), u32(0), u32(0x10000)));
  return track(
    { edits: [list] },
    fullBox('stts', 0, 0, u32(1), u32(1), u32(1)),
    fullBox('stsc', 0, 0, u32(1), u32(1), u32(1), u32(1)),
    fullBox('stsz', 0, 0, u32(1), u32(1)),
    fullBox('stco', 0, 0, u32(1), u32(48)),
  );
}

/** Boxes inside each other, built from the inside, with one allocation. */
export function nested(type: string, levels: number): Buffer {
  const bytes = Buffer.alloc(levels * 8);
  for (let level = 0; level < levels; level++) {
    bytes.writeUInt32BE((levels - level) * 8, level * 8);
    bytes.write(type, level * 8 + 4, 'latin1');
  }
  return bytes;
}
