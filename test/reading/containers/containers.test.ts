import { crc32, deflateSync } from 'node:zlib';
import { describe, expect, test } from 'vitest';
import { heifFile, uint } from '../isoBoxBytes.ts';
import { NoStill, readStillBytes, sourceOf, valueOf } from '../readings.ts';
import { exifSegment, fields, jpegFile, jpegSegment, tiffBlock } from '../tiffBlock.ts';

const le = fields(true);
const block = tiffBlock({ main: [le.short(0x0112, 6)], exif: [le.rational(0x829a, 1, 50)] });
const packet = (properties: string, description = '') =>
  Buffer.from(
    `<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">` +
      `<rdf:Description xmlns:exif="http://ns.adobe.com/exif/1.0/" xmlns:xmpNote="http://ns.adobe.com/xmp/note/"` +
      ` ${description}>${properties}</rdf:Description></rdf:RDF></x:xmpmeta>`,
  );
const fNumberPacket = packet('<exif:FNumber>28/10</exif:FNumber>');

const chunk = (type: string, body: Buffer) => {
  const named = Buffer.concat([Buffer.from(type, 'latin1'), body]);
  return Buffer.concat([uint(body.length, 4), named, uint(crc32(named), 4)]);
};
const pngFile = (...chunks: Buffer[]) =>
  Buffer.concat([
    Buffer.from('\x89PNG\r\n\x1a\n', 'latin1'),
    chunk('IHDR', Buffer.concat([uint(640, 4), uint(480, 4), Buffer.from([8, 2, 0, 0, 0])])),
    ...chunks,
    chunk('IEND', Buffer.alloc(0)),
  ]);
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
