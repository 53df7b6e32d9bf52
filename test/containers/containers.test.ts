import { deflateSync } from 'node:zlib';
import { describe, expect, test } from 'vitest';
import sharp from 'sharp';
import { sniff } from '../../src/reading/sniff.ts';
import { heifFile, isoBox, uint } from '../reading/isoBoxBytes.ts';
import { pngChunk, pngFile, rawProfileChunk, rawProfileText } from '../reading/pngBytes.ts';
import { NoStill, readStillBytes, sourceOf, valueOf } from '../reading/readings.ts';
import { exifSegment, fields, jpegFile, jpegSegment, tiffBlock } from '../reading/tiffBlock.ts';

const le = fields(true);
const block = tiffBlock({ main: [le.short(0x0112, 6)], exif: [le.rational(0x829a, 1, 50)] });
const packet = (properties: string, description = '') =>
  Buffer.from(
    `<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">` +
      `<rdf:Description xmlns:exif="http://ns.adobe.com/exif/1.0/" xmlns:xmpNote="http://ns.adobe.com/xmp/note/"` +
      ` ${description}>${properties}</rdf:Description></rdf:RDF></x:xmpmeta>`,
  );
const fNumberPacket = packet('<exif:FNumber>28/10</exif:FNumber>');

const chunk = pngChunk;
const xmpText = (flag: number, text: Buffer) =>
  chunk(
    'iTXt',
    Buffer.concat([Buffer.from(`XML:com.adobe.xmp\0${String.fromCharCode(flag)}\0\0\0`, 'latin1'), text]),
  );

const riffChunk = (type: string, body: Buffer) => {
  const size = Buffer.alloc(4);
  size.writeUInt32LE(body.length);
  return Buffer.concat([Buffer.from(type, 'latin1'), size, body, Buffer.alloc(body.length % 2)]);
};
const webpFile = (...chunks: Buffer[]) =>
  riffChunk('RIFF', Buffer.concat([Buffer.from('WEBP', 'latin1'), ...chunks]));

describe('JPEG', () => {
  test('EXIF behind 240 KB of other segments, and fill bytes between them, is read', async () => {
    const profiles = Array.from({ length: 4 }, () => jpegSegment(0xe2, Buffer.alloc(60_000)));
    const file = jpegFile(...profiles, Buffer.alloc(500, 0xff), exifSegment(block));
    const reading = await readStillBytes(file);
    expect(valueOf(reading, 'exposureSeconds')).toBe(0.02);
    // Orientation 6: the 4000 x 3000 frame is shown on its side.
    expect([valueOf(reading, 'width'), valueOf(reading, 'height')]).toEqual([3000, 4000]);
    expect(valueOf(reading, 'rotationDegrees')).toBe(90);
    expect(reading.refusals).toEqual([]);
  });

  test('of two EXIF blocks the first counts, and the second is reported', async () => {
    const other = tiffBlock({ exif: [le.rational(0x829a, 1, 4)] });
    const reading = await readStillBytes(jpegFile(exifSegment(block), exifSegment(other)));
    expect(valueOf(reading, 'exposureSeconds')).toBe(0.02);
    expect(reading.refusals.map((each) => each.raw)).toEqual(['1 more']);
  });

  test('a value that points behind its segment does not reach into the next one', async () => {
    const cut = block.subarray(0, block.length - 4);
    const reading = await readStillBytes(
      jpegFile(exifSegment(cut), jpegSegment(0xe3, Buffer.alloc(64, 0x11))),
    );
    expect(valueOf(reading, 'exposureSeconds')).toBeUndefined();
    expect(reading.refusals.map((each) => each.what)).toEqual(['ExposureTime']);
  });

  const guid = '0123456789ABCDEF0123456789ABCDEF';
  const main = jpegSegment(
    0xe1,
    Buffer.concat([
      Buffer.from('http://ns.adobe.com/xap/1.0/\0'),
      packet('', `xmpNote:HasExtendedXMP="${guid}"`),
    ]),
  );
  const part = (name: string, total: number, offset: number, bytes: Buffer) =>
    jpegSegment(
      0xe1,
      Buffer.concat([
        Buffer.from(`http://ns.adobe.com/xmp/extension/\0${name}`),
        uint(total, 4),
        uint(offset, 4),
        bytes,
      ]),
    );
  const [head, tail] = [fNumberPacket.subarray(0, 100), fNumberPacket.subarray(100)];

  test('extended XMP is joined whatever the order of its parts', async () => {
    const total = fNumberPacket.length;
    const reading = await readStillBytes(
      jpegFile(main, part(guid, total, 100, tail), part(guid, total, 0, head)),
    );
    expect(valueOf(reading, 'fNumber')).toBe(2.8);
    expect(sourceOf(reading, 'fNumber')).toBe('extended XMP exif:FNumber');
  });

  test.each([
    ['a part is missing', [part(guid, fNumberPacket.length, 0, head)]],
    ['its GUID is another', [part('F'.repeat(32), fNumberPacket.length, 0, fNumberPacket)]],
    ['it claims 4 GB', [part(guid, 4_294_967_295, 0, head)]],
  ])('extended XMP is refused where %s', async (_, parts) => {
    const reading = await readStillBytes(jpegFile(main, ...parts));
    expect(valueOf(reading, 'fNumber')).toBeUndefined();
    expect(reading.refusals.map((each) => each.what)).toContain('extended XMP');
  });
});

describe('PNG', () => {
  test('eXIf and plain or compressed XMP are read', async () => {
    for (const text of [xmpText(0, fNumberPacket), xmpText(1, deflateSync(fNumberPacket))]) {
      const reading = await readStillBytes(pngFile(chunk('eXIf', block), text));
      expect(valueOf(reading, 'exposureSeconds')).toBe(0.02);
      expect(valueOf(reading, 'fNumber')).toBe(2.8);
      expect([valueOf(reading, 'width'), valueOf(reading, 'height')]).toEqual([480, 640]);
      expect(valueOf(reading, 'bitDepth')).toBe(8);
    }
  });

  const signature = Buffer.from('Exif\0\0', 'latin1');
  const xmpSegment = Buffer.concat([Buffer.from('http://ns.adobe.com/xap/1.0/\0'), fNumberPacket]);
  test.each([
    ['exif', 'exif', Buffer.concat([signature, block]), 'exposureSeconds', 0.02],
    ['exif', 'exif', block, 'exposureSeconds', 0.02],
    ['APP1', 'generic profile', Buffer.concat([signature, block]), 'exposureSeconds', 0.02],
    ['APP1', 'APP1', xmpSegment, 'fNumber', 2.8],
    ['xmp', 'xmp', fNumberPacket, 'fNumber', 2.8],
  ] as const)(
    'a raw profile of type %s is read, packed and plain',
    async (type, name, bytes, fact, value) => {
      for (const packed of [true, false]) {
        const reading = await readStillBytes(
          pngFile(rawProfileChunk(type, rawProfileText(name, bytes), packed)),
        );
        expect(valueOf(reading, fact)).toBe(value);
        expect(reading.refusals).toEqual([]);
      }
    },
  );

  test('the chunk that took its place comes before a raw profile', async () => {
    const other = tiffBlock({ exif: [le.rational(0x829a, 1, 4)] });
    const profile = rawProfileChunk('exif', rawProfileText('exif', other), true);
    const reading = await readStillBytes(pngFile(profile, chunk('eXIf', block)));
    expect(valueOf(reading, 'exposureSeconds')).toBe(0.02);
    expect(reading.refusals).toEqual([]);
  });

  test.each([
    ['fewer bytes than it claims', rawProfileText('exif', block).replace(/\d+\n/, '99999\n')],
    ['letters for digits', rawProfileText('exif', block).replace(/[0-9a-f]{72}/, 'zz')],
    ['no length', '\nexif\nmany\n4949'],
    ['nothing', ''],
  ])('a raw profile with %s is refused', async (_, text) => {
    const reading = await readStillBytes(pngFile(rawProfileChunk('exif', text, true)));
    expect(valueOf(reading, 'exposureSeconds')).toBeUndefined();
    expect(reading.refusals.map((each) => each.reason)).toEqual(['a raw profile is damaged']);
  });

  test('a chunk that does not match its check sum is refused', async () => {
    const damaged = chunk('eXIf', block);
    damaged.writeUInt8(damaged.readUInt8(40) ^ 1, 40);
    const reading = await readStillBytes(pngFile(damaged));
    expect(valueOf(reading, 'exposureSeconds')).toBeUndefined();
    expect(reading.refusals.map((each) => each.reason)).toEqual(['the chunk does not match its check sum']);
  });

  test('sRGB is stated by its chunk, assumed without, and unknown beside a profile', async () => {
    const stated = await readStillBytes(pngFile(chunk('sRGB', Buffer.from([0]))));
    expect(sourceOf(stated, 'transfer')).toBe('PNG header');
    expect(sourceOf(await readStillBytes(pngFile()), 'transfer')).toContain('assumed');
    const profile = await readStillBytes(pngFile(chunk('iCCP', Buffer.from('x\0\0'))));
    expect(valueOf(profile, 'transfer')).toBeUndefined();
  });
});

test('WebP: canvas, EXIF with or without the JPEG signature, and XMP are read', async () => {
  // RFC 9649 2.7: flags, three reserved bytes, canvas 800 x 600 as one less each.
  const canvas = riffChunk('VP8X', Buffer.from([0, 0, 0, 0, 0x1f, 0x03, 0, 0x57, 0x02, 0]));
  for (const exif of [block, Buffer.concat([Buffer.from('Exif\0\0'), block])]) {
    const reading = await readStillBytes(
      webpFile(canvas, riffChunk('EXIF', exif), riffChunk('XMP ', fNumberPacket)),
    );
    expect(valueOf(reading, 'exposureSeconds')).toBe(0.02);
    expect(valueOf(reading, 'fNumber')).toBe(2.8);
    expect([valueOf(reading, 'width'), valueOf(reading, 'height')]).toEqual([600, 800]);
    expect(reading.refusals).toEqual([]);
  }
});

test.each([
  ['heic', 'heif'],
  ['avif', 'avif'],
])('%s: items and the properties of the primary picture are read', async (brand, codec) => {
  const exif = Buffer.concat([uint(6, 4), Buffer.from('Exif\0\0'), block]);
  const reading = await readStillBytes(
    heifFile(brand, [
      { type: 'Exif', bytes: exif },
      { type: 'mime', bytes: fNumberPacket },
    ]),
  );
  expect(valueOf(reading, 'codec')).toBe(codec);
  expect(valueOf(reading, 'exposureSeconds')).toBe(0.02);
  expect(valueOf(reading, 'fNumber')).toBe(2.8);
  // irot 1: a quarter turn anticlockwise, so 270 degrees clockwise; EXIF orientation 6 has no say.
  expect(valueOf(reading, 'rotationDegrees')).toBe(270);
  expect([valueOf(reading, 'width'), valueOf(reading, 'height')]).toEqual([300, 400]);
  expect(valueOf(reading, 'bitDepth')).toBe(10);
  // ITU-T H.273: transfer characteristics 16 is PQ.
  expect([valueOf(reading, 'transfer'), valueOf(reading, 'range')]).toEqual(['pq', 'full']);
  expect(reading.refusals).toEqual([]);
});

// Each of these is the first brand of files of its kind; the last two say only among the others what they are.
test.each([
  ['avci', ['mif1', 'avci', 'miaf']],
  ['j2ki', ['mif1', 'j2ki', 'miaf']],
  ['jpeg', ['mif1', 'jpeg', 'miaf']],
  ['vvic', ['mif1', 'vvic', 'miaf']],
  ['mif3', []],
  ['MiHB', ['mif1', 'heic']],
  ['new1', ['mif1']],
])('%s among the brands %j makes a picture', async (first, others) => {
  const ftyp = isoBox('ftyp', Buffer.from(`${first}heic${others.join('')}`, 'latin1'));
  expect(sniff(ftyp)).toBe('still');
  expect(valueOf(await readStillBytes(ftyp), 'codec')).toBe('heif');
});

test('a movie that promises to be a picture as well is a movie first', () => {
  expect(sniff(isoBox('ftyp', Buffer.from('mp42\0\0\0\0isommif1', 'latin1')))).toBe('clip');
  expect(sniff(isoBox('ftyp', Buffer.from('isom\0\0\0\0isommp42', 'latin1')))).toBe('clip');
});

test('a property that ends too early takes nothing from the others and from EXIF', async () => {
  const file = heifFile('avif', [{ type: 'Exif', bytes: block }]);
  // A box of one byte: no room for a number of bits.
  file.write('pixi', file.indexOf('irot'), 'latin1');
  const reading = await readStillBytes(file);
  expect(valueOf(reading, 'exposureSeconds')).toBe(0.02);
  expect([valueOf(reading, 'width'), valueOf(reading, 'transfer')]).toEqual([400, 'pq']);
  expect(reading.refusals.map(({ raw, reason }) => `${raw} ${reason}`)).toEqual(['pixi ends too early']);
});

test('a table of items that ends too early leaves what the picture says of itself', async () => {
  const file = heifFile('avif', [{ type: 'Exif', bytes: block }]);
  // More items than the table has room for.
  file.writeUInt16BE(9, file.indexOf('iloc') + 10);
  const reading = await readStillBytes(file);
  expect([valueOf(reading, 'width'), valueOf(reading, 'transfer')]).toEqual([300, 'pq']);
  expect(reading.refusals.map(({ raw, reason }) => `${raw} ${reason}`)).toEqual(['meta ends too early']);
});

test.each([
  // ITU-T H.273, table 3: both of BT.2020 are the function of BT.709; 2 is unspecified.
  [14, 'bt709'],
  [15, 'bt709'],
  [18, 'hlg'],
  [2, undefined],
])('transfer characteristics %d of an AVIF are %s', async (code, transfer) => {
  const file = heifFile('avif', []);
  file.writeUInt16BE(code, file.indexOf('nclx') + 6);
  expect(valueOf(await readStillBytes(file), 'transfer')).toBe(transfer);
});

test('an Exif item without the distance to its block is read', async () => {
  const reading = await readStillBytes(heifFile('heic', [{ type: 'Exif', bytes: block }]));
  expect(valueOf(reading, 'exposureSeconds')).toBe(0.02);
});

test('a BigTIFF that another library wrote is read', async () => {
  const grey = sharp({ create: { width: 40, height: 30, channels: 3, background: '#808080' } });
  const file = await grey.tiff({ bigtiff: true }).toBuffer();
  // BigTIFF design: 43 in the place of 42.
  expect(file.readUInt16LE(2)).toBe(43);
  const reading = await readStillBytes(file);
  expect([valueOf(reading, 'width'), valueOf(reading, 'height')]).toEqual([40, 30]);
  expect(reading.refusals).toEqual([]);
});

test('a file of the brand mif2 (ISO/IEC 23008-12) is an HEIF picture', async () => {
  const file = Buffer.from(heifFile('mif2', []).toString('latin1').replace('mif1', 'mif2'), 'latin1');
  expect(valueOf(await readStillBytes(file), 'codec')).toBe('heif');
});

test('DNG: the full picture lies one level below the preview', async () => {
  const sub = Buffer.concat([
    Buffer.from([3, 0]),
    ...[le.short(0x0100, 5472), le.short(0x0101, 3648), le.short(0x0102, 14)].map(
      ({ tag, type, count, bytes }) =>
        Buffer.concat([
          le.integer(tag, 2),
          le.integer(type, 2),
          le.integer(count, 4),
          bytes,
          Buffer.alloc(2),
        ]),
    ),
    Buffer.alloc(4),
  ]);
  const parts = (subAt: number) => ({
    main: [
      le.long(0x00fe, 1),
      le.short(0x0100, 160),
      le.short(0x0101, 120),
      le.short(0x0102, 8),
      le.long(0x014a, subAt),
      le.byte(0xc612, 1, 4, 0, 0),
      { tag: 0x02bc, type: 1, count: fNumberPacket.length, bytes: fNumberPacket },
    ],
    exif: [le.rational(0x829a, 1, 50)],
  });
  const file = Buffer.concat([tiffBlock(parts(tiffBlock(parts(0)).length)), sub]);
  const reading = await readStillBytes(file);
  expect(valueOf(reading, 'codec')).toBe('dng');
  expect([valueOf(reading, 'width'), valueOf(reading, 'height')]).toEqual([5472, 3648]);
  expect(valueOf(reading, 'bitDepth')).toBe(14);
  expect(valueOf(reading, 'exposureSeconds')).toBe(0.02);
  expect(valueOf(reading, 'fNumber')).toBe(2.8);
  expect(valueOf(reading, 'transfer')).toBeUndefined();
});

test.each([
  ['empty', ''],
  ['one byte', '\xff'],
  ['a playlist', '#EXTM3U\n'],
])('%s is no still', async (_, text) => {
  await expect(readStillBytes(Buffer.from(text, 'latin1'))).rejects.toThrow(NoStill);
});
