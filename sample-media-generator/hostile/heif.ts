import { hex, latin1, repeated, u16, u32, u32Le, u8 } from '../carriers/bytes.ts';
import { box, fullBox, handlerBox } from '../carriers/isoBoxes.ts';
import { liar } from './boxes.ts';
import type { HostileMaker, Stretch } from './cases.ts';
import { fileCase, sparseCase } from './files.ts';

// HEIF: ISO/IEC 23008-12 on the boxes of ISO/IEC 14496-12.

const TYPE = box('ftyp', latin1('heic'), u32(0), latin1('mif1heic'));

/** Item 1 is an Exif block; `iloc` (version 0, offsets and lengths of four bytes) says where its pieces lie. */
function metaWithExtents(count: number, bytesEach: number): Buffer {
  const entry = fullBox('infe', 2, 0, u16(1), u16(0), latin1('Exif\0'));
  const extents = repeated(Buffer.concat([u32(0), u32(bytesEach)]), count);
  const locations = fullBox('iloc', 0, 0, u8(0x44), u8(0), u16(1), u16(1), u16(0), u16(count), extents);
  const items = [handlerBox('pict', ''), fullBox('pitm', 0, 0, u16(1)), fullBox('iinf', 0, 0, u16(1), entry)];
  return fullBox('meta', 0, 0, ...items, locations);
}

function heif(at: string, what: string, content: () => Buffer): HostileMaker {
  return fileCase({ at, what, kind: 'still', expect: 'any' }, content);
}

const extentsBomb = (): readonly Stretch[] => [TYPE, metaWithExtents(65_535, 16 << 20), { hole: 20e6 }];

export const heifCases: readonly HostileMaker[] = [
  sparseCase(
    { at: 'HEIC0001.HEIC', what: 'an item of 65,535 pieces of 16 MB each', kind: 'still', expect: 'any' },
    extentsBomb,
  ),
  heif('HEIC0002.HEIC', 'a box of size 0 in front of others', () =>
    Buffer.concat([TYPE, liar(0, 'meta', Buffer.alloc(4)), metaWithExtents(1, 8)]),
  ),
  heif('HEIC0003.HEIC', 'a box of size 1 without its long size', () =>
    Buffer.concat([TYPE, liar(1, 'meta')]),
  ),
  heif('HEIC0004.HEIC', 'a box of size 4', () =>
    Buffer.concat([TYPE, liar(4, 'meta'), metaWithExtents(1, 8)]),
  ),
  heif('HEIC0005.HEIC', 'a long size of 2^64 - 1', () =>
    Buffer.concat([TYPE, liar(1, 'meta', hex('FFFFFFFFFFFFFFFF'), Buffer.alloc(16))]),
  ),
  heif('HEIC0006.AVIF', 'an item list that claims 4,294,967,295 items', () => {
    const type = box('ftyp', latin1('avif'), u32(0), latin1('avifmif1'));
    return Buffer.concat([
      type,
      fullBox('meta', 0, 0, handlerBox('pict', ''), fullBox('iinf', 1, 0, u32(0xffffffff))),
    ]);
  }),
  heif('WEBP0001.WEBP', 'a RIFF that claims 4 GB and a chunk that claims as much', () =>
    Buffer.concat([
      latin1('RIFF'),
      u32Le(0xfffffffe),
      latin1('WEBPEXIF'),
      u32Le(0xfffffffe),
      latin1('II*\0'),
    ]),
  ),
  heif('WEBP0002.WEBP', '500,000 empty chunks', () => {
    const chunks = repeated(Buffer.concat([latin1('teSt'), u32Le(0)]), 500_000);
    return Buffer.concat([latin1('RIFF'), u32Le(chunks.length + 4), latin1('WEBP'), chunks]);
  }),
];
