import { hex, latin1, repeated, u32, utf8 } from '../carriers/bytes.ts';
import { box, boxAt, boxesIn, fullBox, handlerBox, withBoxesInMoov } from '../carriers/isoBoxes.ts';
import { metadataKeys } from '../carriers/metadataKeys.ts';
import type { Expected, HostileMaker, Materials } from './cases.ts';
import { fileCase, sparseCase } from './files.ts';
import { edited, endlessSamples, liar, manyTracks, nested } from './boxes.ts';

function clip(
  at: string,
  what: string,
  content: (materials: Materials) => Buffer,
  expect: Expected = 'any',
): HostileMaker {
  return fileCase({ at, what, kind: 'clip', expect }, content);
}

/** The good clip with the payload of one box bent in place; sizes stay. */
function bent(path: string, bend: (payload: Buffer) => void): (materials: Materials) => Buffer {
  return (materials) => {
    const file = Buffer.from(materials.clip);
    const payload = boxAt(file, path);
    if (payload === undefined) throw new Error(`the good clip must have ${path}`);
    bend(payload);
    return file;
  };
}

const TABLE = 'moov/trak/mdia/minf/stbl';

function manyKeys(count: number): Buffer {
  const keys = Array.from({ length: count }, (_, index) => ({
    name: `k${index}`,
    type: 1,
    value: latin1('v'),
  }));
  return metadataKeys(keys);
}

const words = (name: string, value: string) => metadataKeys([{ name, type: 1, value: utf8(value) }]);

/** A handler name that, printed line by line, spells another frame rate and another stream. */
const SPOOF = 'h\navg_frame_rate=240/1\nwidth=99999\n[/STREAM]\n[STREAM]\nindex=7';

function spoofingHandler({ clip: file }: Materials): Buffer {
  const moov = boxesIn(file).at(-1)!;
  const bytes = file.subarray(moov.start);
  const handler = bytes.indexOf('hdlr') - 4;
  const oldSize = bytes.readUInt32BE(handler);
  const fresh = handlerBox('vide', SPOOF);
  const grown = Buffer.concat([bytes.subarray(0, handler), fresh, bytes.subarray(handler + oldSize)]);
  for (const parent of ['moov', 'trak', 'mdia']) {
    const at = parent === 'moov' ? 0 : grown.indexOf(parent) - 4;
    grown.writeUInt32BE(grown.readUInt32BE(at) + fresh.length - oldSize, at);
  }
  return Buffer.concat([file.subarray(0, moov.start), grown]);
}

/** A time scale of 30,000 with one tick a frame: a rate that no camera has, said without complaint. */
function thirtyThousandFrames(materials: Materials): Buffer {
  const file = bent('moov/trak/mdia/mdhd', (header) => header.writeUInt32BE(30_000, 12))(materials);
  const times = boxAt(file, `${TABLE}/stts`);
  for (let at = 8; times !== undefined && at + 8 <= times.length; at += 8) times.writeUInt32BE(1, at + 4);
  return file;
}

function withoutMoov({ clip: file }: Materials): Buffer {
  return file.subarray(0, boxesIn(file).at(-1)!.start);
}

function halfMoov({ clip: file }: Materials): Buffer {
  const { start, end } = boxesIn(file).at(-1)!;
  return file.subarray(0, Math.round((start + end) / 2));
}

const TYPE = box('ftyp', latin1('isom'), u32(512), latin1('isommp41'));
const EMPTY_FRAGMENT = box('moof', fullBox('mfhd', 0, 0, u32(1)));

export const isoMediaCases: readonly HostileMaker[] = [
  clip('MOVS0001.MP4', 'tables that claim 50 million samples', (m) =>
    withBoxesInMoov(m.clip, endlessSamples(50_000_000)),
  ),
  clip('MOVS0002.MP4', 'tables that claim 2 billion samples', (m) =>
    withBoxesInMoov(m.clip, endlessSamples(2 ** 31 - 1)),
  ),
  clip('MOVS0003.MP4', '900 tracks', (materials) => manyTracks(materials, 900)),
  clip('MOVS0004.MP4', '100,000 metadata keys', (m) => withBoxesInMoov(m.clip, manyKeys(100_000))),
  clip('MOVS0005.MP4', '2 million boxes of 8 bytes', () =>
    Buffer.concat([TYPE, repeated(liar(8, 'free'), 2_000_000)]),
  ),
  clip('MOVS0006.MP4', '300,000 empty fragments', (m) =>
    Buffer.concat([m.clip, repeated(EMPTY_FRAGMENT, 300_000)]),
  ),
  clip('MOVS0007.MP4', 'an edit list of 2 billion edits', (m) => withBoxesInMoov(m.clip, edited())),
  clip('MOVS0008.MP4', 'a tag of 20 MB', (m) =>
    withBoxesInMoov(m.clip, words('comment', 'x'.repeat(20_000_000))),
  ),
  clip('MOVS0009.MP4', 'a handler name that spells another frame rate', spoofingHandler, 'audited'),
  clip('MOVS0010.MP4', 'time tables that make 30,000 frames a second', thirtyThousandFrames),
  clip('MOVS0011.MP4', 'a box of size 0 in the middle', (m) =>
    Buffer.concat([TYPE, liar(0, 'free'), m.clip]),
  ),
  clip('MOVS0012.MP4', 'a box of size 7', (m) => Buffer.concat([TYPE, liar(7, 'moov'), m.clip])),
  clip('MOVS0013.MP4', 'a long size of 2^64 - 1', (m) =>
    Buffer.concat([TYPE, liar(1, 'moov', hex('FFFFFFFFFFFFFFFF')), m.clip]),
  ),
  clip('MOVS0014.MP4', 'a recording whose index is cut in half', halfMoov, 'problem'),
  clip('MOVS0015.MP4', 'a recording whose index was never written', withoutMoov, 'problem'),
  clip(
    'MOVS0016.MP4',
    '20,000 indexes inside each other',
    () => Buffer.concat([TYPE, nested('moov', 20_000)]),
    'problem',
  ),
  clip('MOVS0017.MP4', '100,000 user data boxes inside each other', (m) =>
    withBoxesInMoov(m.clip, nested('udta', 100_000)),
  ),
  clip(
    'MOVS0018.MP4',
    'a picture of 65535 by 65535',
    bent(`${TABLE}/stsd`, (entry) => entry.writeUInt32BE(0xffffffff, 40)),
  ),
  clip(
    'MOVS0019.MP4',
    'a time scale of 0',
    bent('moov/trak/mdia/mdhd', (header) => header.writeUInt32BE(0, 12)),
  ),
  clip(
    'MOVS0020.MP4',
    'a duration of 49 days and a movie time scale of 0',
    bent('moov/mvhd', (header) => {
      header.writeUInt32BE(0, 12);
      header.writeUInt32BE(0xffffffff, 16);
    }),
  ),
  sparseCase(
    { at: 'MOVS0021.MP4', what: '100 GB of nothing in front of no index', kind: 'clip', expect: 'problem' },
    () => [TYPE, liar(1, 'mdat', hex('0000001800000000')), { hole: 100e9 }],
  ),
  sparseCase(
    { at: 'MOVS0022.MP4', what: 'an XMP box of 500 MB of zeros', kind: 'clip', expect: 'any' },
    ({ clip: file }) => [
      file,
      liar(500_000_024, 'uuid', hex('BE7ACFCB97A942E89C71999491E3AFAC')),
      { hole: 500_000_000 },
    ],
  ),
  clip(
    'MOVS0023.MP4',
    'a chunk table that points behind the end',
    bent(`${TABLE}/stco`, (table) => table.fill(0xff, 8)),
  ),
  clip(
    'MOVS0024.MP4',
    'a tag named as a prototype, with terminal codes',
    (m) => withBoxesInMoov(m.clip, words('__proto__', '\u001B[2J\u202E=1+1<script>')),
    'audited',
  ),
  clip(
    'MOVS0025.MP4',
    'a capture rate that is not a number',
    (m) =>
      withBoxesInMoov(
        m.clip,
        metadataKeys([{ name: 'com.android.capture.fps', type: 23, value: hex('7FC00000') }]),
      ),
    'audited-with-refusals',
  ),
  clip(
    'MOVS0026.MP4',
    'a capture rate of a billion',
    (m) =>
      withBoxesInMoov(
        m.clip,
        metadataKeys([{ name: 'com.android.capture.fps', type: 23, value: hex('4E6E6B28') }]),
      ),
    'audited-with-refusals',
  ),
  clip('MOVS0027.MP4', '4,000 bytes of a good clip', (m) => m.clip.subarray(0, 4000), 'problem'),
  clip('MOVS0028.MP4', 'a still named as a clip', (m) => m.still, 'problem'),
  clip('MOVS0029.MP4', 'nothing at all', () => Buffer.alloc(0), 'problem'),
];
