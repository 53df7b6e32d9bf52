import { mkdtemp, open, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { crc32, deflateSync } from 'node:zlib';
import { expect, test } from 'vitest';
import { isoBox, isoFullBox, uint } from './isoBoxBytes.ts';
import { readStillBytes, readStillFile, valueOf } from './readings.ts';
import { exifSegment, fields, jpegFile, jpegSegment, tiffBlock } from './tiffBlock.ts';

// Inputs that take general-purpose readers seconds, gigabytes or for ever. Alone each ends in a few milliseconds; the
// limit leaves room for a busy machine.
const le = fields(true);

const directory = (entries: readonly Buffer[], next = 0) =>
  Buffer.concat([le.integer(entries.length, 2), ...entries, le.integer(next, 4)]);
const entry = (tag: number, type: number, count: number, value: number) =>
  Buffer.concat([le.integer(tag, 2), le.integer(type, 2), le.integer(count, 4), le.integer(value, 4)]);
const header = (first: number) => Buffer.concat([Buffer.from('II'), le.integer(42, 2), le.integer(first, 4)]);
const chunk = (type: string, body: Buffer) => {
  const named = Buffer.concat([Buffer.from(type, 'latin1'), body]);
  return Buffer.concat([uint(body.length, 4), named, uint(crc32(named), 4)]);
};
const png = (...chunks: Buffer[]) =>
  Buffer.concat([
    Buffer.from('\x89PNG\r\n\x1a\n', 'latin1'),
    chunk('IHDR', Buffer.concat([uint(640, 4), uint(480, 4), Buffer.from([8, 2, 0, 0, 0])])),
    ...chunks,
  ]);
const heif = (...boxes: Buffer[]) =>
  Buffer.concat([
    isoBox('ftyp', Buffer.from('heic\0\0\0\0heic', 'latin1')),
    isoFullBox('meta', 0, 0, ...boxes),
  ]);

const times = (count: number, part: Buffer) => Buffer.concat(Array.from({ length: count }, () => part));
const empty = Buffer.alloc(0);

const sharedMegabyte = Buffer.concat([
  header(8),
  directory(Array.from({ length: 65_535 }, (_, at) => entry(0x8000 + (at % 4096), 7, 1_000_000, 800_000))),
  Buffer.alloc(1_100_000),
]);
const branching = Buffer.concat([
  header(8),
  ...Array.from({ length: 24 }, (_, at) => directory([entry(0x014a, 4, 2, 8 + (at + 1) * 18)])),
]);

test.each([
  ['a directory that points to itself', Buffer.concat([header(8), directory([entry(0x8769, 4, 1, 8)], 8)])],
  ['sub-directories that branch', branching],
  [
    '5,000 sub-directory pointers to itself',
    Buffer.concat([header(8), directory([entry(0x014a, 4, 5000, 8)]), Buffer.alloc(20_000, 8)]),
  ],
  ['65,535 entries that share one megabyte', sharedMegabyte],
  [
    '100,000 chained directories',
    Buffer.concat([header(8), ...Array.from({ length: 100_000 }, (_, at) => directory([], 14 + at * 6))]),
  ],
  [
    'a count of 4 G',
    Buffer.concat([
      header(8),
      directory([entry(0x010f, 2, 0xffff_ffff, 8), entry(0x829a, 5, 0xffff_ffff, 8)]),
    ]),
  ],
  [
    '2 million empty segments',
    Buffer.concat([Buffer.from([0xff, 0xd8]), times(2_000_000, jpegSegment(0xe5, empty))]),
  ],
  ['20 MB of fill bytes', Buffer.concat([Buffer.from([0xff, 0xd8]), Buffer.alloc(20_000_000, 0xff)])],
  [
    '20,000 EXIF blocks',
    jpegFile(times(20_000, exifSegment(tiffBlock({ exif: [le.rational(0x829a, 0, 0)] })))),
  ],
  ['500,000 chunks', png(times(500_000, chunk('zzZz', empty)))],
  ['a chunk that claims 4 GB', Buffer.concat([png(), uint(0xffff_ffff, 4), Buffer.from('eXIf')])],
  [
    'XMP that inflates to 500 MB',
    png(
      chunk(
        'iTXt',
        Buffer.concat([
          Buffer.from('XML:com.adobe.xmp\0\x01\0\0\0', 'latin1'),
          deflateSync(Buffer.alloc(500_000_000)),
        ]),
      ),
    ),
  ],
  [
    '65,535 extents of 16 MB',
    heif(
      isoFullBox(
        'iinf',
        0,
        0,
        uint(1, 2),
        isoFullBox('infe', 2, 0, uint(1, 2), uint(0, 2), Buffer.from('Exif\0')),
      ),
      isoFullBox(
        'iloc',
        0,
        0,
        uint(0x4400, 2),
        uint(1, 2),
        uint(1, 2),
        uint(0, 2),
        uint(65_535, 2),
        times(65_535, Buffer.concat([uint(0, 4), uint(16_000_000, 4)])),
      ),
    ),
  ],
  ['boxes of size 0, 1 and 4', heif(uint(0, 4), uint(1, 4), uint(4, 4), Buffer.alloc(64))],
  [
    'an association table that claims 4 G entries',
    heif(
      isoFullBox('pitm', 0, 0, uint(1, 2)),
      isoBox('iprp', isoBox('ipco'), isoFullBox('ipma', 0, 0, uint(0xffff_ffff, 4))),
    ),
  ],
  [
    'a RIFF that claims 4 GB',
    Buffer.concat([Buffer.from('RIFF\xff\xff\xff\xffWEBPEXIF\xff\xff\xff\xff', 'latin1')]),
  ],
  ['a start marker alone', Buffer.from([0xff, 0xd8, 0xff])],
])('%s: ends at once and yields no exposure', async (_, bytes) => {
  const reading = await readStillBytes(bytes);
  expect(valueOf(reading, 'exposureSeconds')).toBeUndefined();
});

test('a sparse TIFF of 600 MB whose entries claim 256 M values costs nothing', async () => {
  const folder = await mkdtemp(join(tmpdir(), 'halfturn-sparse-'));
  try {
    const file = join(folder, 'STILL.TIF');
    const handle = await open(file, 'w');
    await handle.truncate(600_000_000);
    const fat = [
      entry(0x0100, 4, 256_000_000, 8),
      entry(0x02bc, 1, 500_000_000, 8),
      entry(0x8769, 4, 1, 599_999_000),
    ];
    await handle.write(Buffer.concat([header(8), directory(fat)]), 0, undefined, 0);
    await handle.close();
    const beforeBytes = process.memoryUsage().rss;
    const reading = await readStillFile(file);
    expect(process.memoryUsage().rss - beforeBytes).toBeLessThan(50_000_000);
    expect(valueOf(reading, 'exposureSeconds')).toBeUndefined();
    expect(reading.refusals.map((each) => each.what)).toContain('XMP');
  } finally {
    await rm(folder, { recursive: true });
  }
});
