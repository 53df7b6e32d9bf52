import { crc32 } from 'node:zlib';
import { hex, latin1, repeated, u32, u8, utf8 } from '../carriers/bytes.ts';
import type { HostileMaker } from './cases.ts';
import { deflatedRun } from './deflatedRun.ts';
import { fileCase } from './files.ts';
import { deepXml, entityBomb } from './xmlPackets.ts';

function chunk(type: string, ...parts: readonly Uint8Array[]): Buffer {
  const covered = Buffer.concat([latin1(type), ...parts]);
  return Buffer.concat([u32(covered.length - 4), covered, u32(crc32(covered))]);
}

const SIGNATURE = hex('89504E470D0A1A0A');
const END = chunk('IEND');

function header(width: number, height: number, colourType = 0): Buffer {
  return chunk('IHDR', u32(width), u32(height), u8(8), u8(colourType), u8(0), u8(0), u8(0));
}

/** A black picture of 1024 by 1023 (a mebibyte with its filter bytes, nearly) and more chunks before its data. */
function picture(...more: readonly Buffer[]): Buffer {
  return Buffer.concat([SIGNATURE, header(1023, 1024), ...more, chunk('IDAT', deflatedRun(0, 1)), END]);
}

function png(at: string, what: string, content: () => Buffer): HostileMaker {
  return fileCase({ at, what, kind: 'still', expect: 'any' }, content);
}

const XMP_KEYWORD = latin1('XML:com.adobe.xmp\0');

function packedXmp(): Buffer {
  return chunk('iTXt', XMP_KEYWORD, u8(1), u8(0), u8(0), u8(0), deflatedRun(0x20, 500));
}

function plainXmp(xml: string): Buffer {
  return chunk('iTXt', XMP_KEYWORD, u8(0), u8(0), u8(0), u8(0), utf8(xml));
}

/** 16000 by 16000 in colour with opacity: 1 GB of pixels, under the limits of 2^31 and of many programs. */
function gigapixel(): Buffer {
  const bytes = 16_000 * (1 + 16_000 * 4);
  return Buffer.concat([
    SIGNATURE,
    header(16_000, 16_000, 6),
    chunk('IDAT', deflatedRun(0, Math.ceil(bytes / 2 ** 20))),
    END,
  ]);
}

export const pngCases: readonly HostileMaker[] = [
  png('PNGS0001.PNG', 'a text that unpacks to 500 MB', () =>
    picture(chunk('zTXt', latin1('Comment\0'), u8(0), deflatedRun(0x41, 500))),
  ),
  png('PNGS0002.PNG', 'XMP that unpacks to 500 MB', () => picture(packedXmp())),
  png('PNGS0003.PNG', 'a colour profile that unpacks to 500 MB', () =>
    picture(chunk('iCCP', latin1('p\0'), u8(0), deflatedRun(0, 500))),
  ),
  png('PNGS0004.PNG', '500,000 empty chunks', () => picture(repeated(chunk('teSt'), 500_000))),
  png('PNGS0005.PNG', 'a picture of 2147483647 by 2147483647', () =>
    Buffer.concat([SIGNATURE, header(0x7fffffff, 0x7fffffff), chunk('IDAT', deflatedRun(0, 1)), END]),
  ),
  png('PNGS0006.PNG', 'a picture of 16000 by 16000 in 1 MB', gigapixel),
  png('PNGS0007.PNG', 'XMP nested 100,000 deep', () => picture(plainXmp(deepXml(100_000)))),
  png('PNGS0008.PNG', 'XMP with entities that unfold to 10^10 letters', () =>
    picture(plainXmp(entityBomb())),
  ),
  png('PNGS0009.PNG', 'a chunk that claims 2 GB', () =>
    Buffer.concat([SIGNATURE, header(8, 8), u32(0x7fffffff), latin1('eXIf')]),
  ),
  png('PNGS0010.PNG', 'a signature and no more', () => SIGNATURE),
];
