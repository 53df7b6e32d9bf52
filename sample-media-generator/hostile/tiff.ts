import { latin1, u16Le, u32Le, u64Le } from '../carriers/bytes.ts';
import { directory, long, short, tiffHeader, type TiffEntry } from '../carriers/exifBlock.ts';
import type { Expected, HostileMaker } from './cases.ts';
import { fileCase, sparseCase } from './files.ts';
import { deepXml } from './xmlPackets.ts';

const START = 8;
const SUB_DIRECTORIES = 0x14a;
const EXIF_POINTER = 0x8769;

function tiffCase(at: string, what: string, content: () => Buffer, expect: Expected = 'any'): HostileMaker {
  return fileCase({ at, what, kind: 'still', expect }, content);
}

/** A grey picture of 8 by 8 with more entries; the picture lies behind the directory. */
function picture(more: readonly TiffEntry[], next = 0): Buffer {
  const entries = (strip: number) =>
    [
      short(256, 8),
      short(257, 8),
      short(258, 8),
      short(259, 1),
      short(262, 1),
      long(273, strip),
      short(277, 1),
      short(278, 8),
      long(279, 64),
      ...more,
    ].toSorted((a, b) => a.tag - b.tag);
  const strip = START + directory(entries(0), START, next).length;
  return Buffer.concat([tiffHeader(START), directory(entries(strip), START, next), Buffer.alloc(64, 0x80)]);
}

function pointers(tag: number, offsets: readonly number[]): TiffEntry {
  return { tag, type: 4, count: offsets.length, value: Buffer.concat(offsets.map(u32Le)) };
}

/** Thirty directories, each pointing twice to the next: 2^30 ways through 1 KB. */
function branching(): Buffer {
  const size = 2 + 12 + 4 + 8;
  const levels = Array.from({ length: 30 }, (_, level) => {
    const at = START + level * size;
    return directory([pointers(SUB_DIRECTORIES, [at + size, at + size])], at);
  });
  return Buffer.concat([tiffHeader(START), ...levels, directory([short(0x100, 8)], START + 30 * size)]);
}

function bigTiffLoop(): Buffer {
  const entry = Buffer.concat([u16Le(0x100), u16Le(3), u64Le(1n), u64Le(8n)]);
  const header = Buffer.concat([latin1('II'), u16Le(43), u16Le(8), u16Le(0), u64Le(16n)]);
  return Buffer.concat([header, u64Le(1n), entry, u64Le(16n)]);
}

/** Every entry names the same mebibyte as its own value. */
function sharingEntries(): Buffer {
  const count = 65_535;
  const values = START + 2 + count * 12 + 4;
  const rows = Buffer.alloc(count * 12);
  for (let index = 0; index < count; index++) {
    rows.writeUInt16LE(index + 1, index * 12);
    rows.writeUInt16LE(7, index * 12 + 2);
    rows.writeUInt32LE(1 << 20, index * 12 + 4);
    rows.writeUInt32LE(values, index * 12 + 8);
  }
  return Buffer.concat([tiffHeader(START), u16Le(count), rows, u32Le(0), Buffer.alloc(1 << 20, 0x41)]);
}

function chained(count: number): Buffer {
  const size = 18;
  const chain = Buffer.alloc(count * size);
  const one = directory([short(0x100, 8)], 0);
  for (let index = 0; index < count; index++) {
    one.copy(chain, index * size);
    chain.writeUInt32LE(index === count - 1 ? 0 : START + (index + 1) * size, index * size + 14);
  }
  return Buffer.concat([tiffHeader(START), chain]);
}

/** Exposure tags of every type with a count that no file can hold. */
function endlessCounts(): Buffer {
  const types = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 129];
  const entries = types.map((type, index) => ({
    tag: 0x829a + index,
    type,
    count: 0xffffffff,
    value: u32Le(START),
  }));
  return picture(entries);
}

function deepXmp(): Buffer {
  const packet = Buffer.from(deepXml(100_000));
  return picture([{ tag: 700, type: 1, count: packet.length, value: packet }]);
}

export const tiffCases: readonly HostileMaker[] = [
  tiffCase('TIFF0001.TIF', 'the first directory names itself as the next', () => picture([], START)),
  tiffCase('TIFF0002.TIF', 'the Exif directory is the first directory', () =>
    picture([long(EXIF_POINTER, START)]),
  ),
  tiffCase('TIFF0003.TIF', 'sub-directories that branch to 2^30 ways', branching),
  tiffCase('TIFF0004.TIF', '5,000 sub-directories that are the first directory', () =>
    picture([
      pointers(
        SUB_DIRECTORIES,
        Array.from({ length: 5000 }, () => START),
      ),
    ]),
  ),
  tiffCase('TIFF0005.TIF', 'a BigTIFF of 52 bytes whose directory names itself', bigTiffLoop),
  tiffCase('TIFF0006.TIF', '65,535 entries that share one mebibyte', sharingEntries),
  tiffCase('TIFF0007.TIF', '100,000 directories in a chain', () => chained(100_000)),
  tiffCase('TIFF0008.TIF', 'entries of every type with 4,294,967,295 values', endlessCounts),
  sparseCase(
    { at: 'TIFF0009.TIF', what: '600 MB of nothing behind a count of 256 M', kind: 'still', expect: 'any' },
    () => [picture([{ tag: 0x8827, type: 3, count: 0x10000000, value: u32Le(1000) }]), { hole: 600e6 }],
  ),
  tiffCase('TIFF0010.DNG', 'XMP nested 100,000 deep', deepXmp),
  tiffCase('TIFF0011.TIF', 'the first directory lies behind the end', () => tiffHeader(0x7fffffff)),
  tiffCase('TIFF0012.TIF', 'a directory that is cut in its second entry', () => picture([]).subarray(0, 30)),
];
