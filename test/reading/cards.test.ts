import { mkdir, readFile, rm, writeFile } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import fc from 'fast-check';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { FactValues, Facts, Recording } from '../../src/domain/recording.ts';
import { locatePrograms } from '../../src/programs/locate.ts';
import { comparePaths, dcfName } from '../../src/reading/fileNames.ts';
import { bytesSource } from '../../src/containers/byteSource.ts';
import { readDump } from '../../src/reading/dump.ts';
import { fingerprint } from '../../src/reading/identity.ts';
import { readRecording } from '../../src/reading/recordings.ts';
import { shootingOrder, joinedSplits } from '../../src/reading/shootingOrder.ts';
import { makeMedia, scratchFolder, testPicture } from './madeMedia.ts';

function recording(path: string, values: Partial<FactValues> = {}, more: Partial<Recording> = {}): Recording {
  const facts = Object.fromEntries(
    Object.entries(values).map(([name, value]) => [name, { value, source: 'test' }]),
  ) as Facts;
  const kind = path.endsWith('JPG') ? 'still' : 'clip';
  return { path, kind, sizeBytes: 1, facts, refusals: [], sidecars: [], ...more };
}

const paths = (recordings: readonly Recording[]): string[] => recordings.map(({ path }) => path);

describe('fingerprint()', () => {
  const bytes = Buffer.from(Array.from({ length: 100_000 }, (_, at) => (at * 7919) % 251));

  test('is the same for the same bytes, and hex', () => {
    expect(fingerprint(bytesSource(bytes))).toMatch(/^[0-9a-f]{32}$/);
    expect(fingerprint(bytesSource(Buffer.from(bytes)))).toBe(fingerprint(bytesSource(bytes)));
  });

  test('is another where the first, middle or last part or the length is another', () => {
    const changed = [5, 50_000, 99_999].map((at) => {
      const copy = Buffer.from(bytes);
      copy[at]! ^= 1;
      return copy;
    });
    const all = [bytes, ...changed, bytes.subarray(1), bytes.subarray(0, -1), Buffer.alloc(0)];
    expect(new Set(all.map((one) => fingerprint(bytesSource(one)))).size).toBe(all.length);
  });

  test('of a small file covers every byte', () => {
    fc.assert(
      fc.property(fc.uint8Array({ minLength: 1, maxLength: 40_000 }), fc.nat(), (content, place) => {
        const other = Buffer.from(content);
        other[place % other.length]! ^= 0x80;
        expect(fingerprint(bytesSource(other))).not.toBe(fingerprint(bytesSource(content)));
      }),
    );
  });
});

// CIPA DC-009: folders of three digits (100 to 999) and five characters; files of four characters and four digits
// (0001 to 9999).
test.each([
  ['DCIM/100_AERO/CLIP0001.MP4', { folder: 'DCIM', folderNumber: 100, prefix: 'CLIP', fileNumber: 1 }],
  [
    'card/DCIM/999ABCDE/_ab_9999.jpg',
    { folder: 'card/DCIM', folderNumber: 999, prefix: '_AB_', fileNumber: 9999 },
  ],
  ['101AEROX/DSC_0042.JPG', { folder: '', folderNumber: 101, prefix: 'DSC_', fileNumber: 42 }],
  ['DCIM/099_AERO/CLIP0001.MP4', undefined],
  ['DCIM/100_AERO/CLIP0000.MP4', undefined],
  ['DCIM/100_AERO/CLIP00001.MP4', undefined],
  ['DCIM/100_AERO/final cut.mp4', undefined],
  ['CLIP0001.MP4', undefined],
])('dcfName(%s)', (path, expected) => {
  expect(dcfName(path)).toEqual(expected);
});

describe('comparePaths()', () => {
  const inOrder = [
    'CLIP0002.MP4',
    'DCIM/100_AERO/AERO0001.JPG',
    'DCIM/100_AERO/CLIP02.MP4',
    'DCIM/100_AERO/CLIP2.MP4',
    'DCIM/100_AERO/CLIP10.MP4',
    `DCIM/100_AERO/CLIP${'9'.repeat(30)}.MP4`,
    `DCIM/100_AERO/CLIP1${'0'.repeat(30)}.MP4`,
    'DCIM/999_AERO/CLIP0001.MP4',
    'DCIM/1000_AERO/CLIP0001.MP4',
  ];

  test('goes folder by folder, and by the value of numbers in names, however long', () => {
    fc.assert(
      fc.property(fc.shuffledSubarray(inOrder, { minLength: inOrder.length }), (shuffled) => {
        expect(shuffled.toSorted(comparePaths)).toEqual(inOrder);
      }),
    );
  });

  test('puts any two different texts in one order, and any three in a consistent one', () => {
    const text = fc.stringMatching(/^[0-2a/.]{0,6}$/);
    fc.assert(
      fc.property(text, text, text, (a, b, c) => {
        expect(Math.sign(comparePaths(a, b))).toBe(0 - Math.sign(comparePaths(b, a)));
        expect(comparePaths(a, b) === 0).toBe(a === b);
        if (comparePaths(a, b) < 0 && comparePaths(b, c) < 0) expect(comparePaths(a, c)).toBeLessThan(0);
      }),
    );
  });
});

describe('shootingOrder()', () => {
  test('goes by the times where all are comparable, whatever the folders', () => {
    const late = recording('A/CLIP0001.MP4', { recordedAt: '2026-05-14T10:00:00Z' });
    const early = recording('B/CLIP0001.MP4', { recordedAt: '2026-05-14T11:30:00+02:00' });
    expect(paths(shootingOrder([late, early]))).toEqual(['B/CLIP0001.MP4', 'A/CLIP0001.MP4']);
  });

  test('goes by the names where one time has no offset, or one recording no time', () => {
    const local = recording('DCIM/100_AERO/CLIP0002.MP4', { recordedAt: '2026-05-14T01:00:00' });
    const utc = recording('DCIM/100_AERO/CLIP0001.MP4', { recordedAt: '2026-05-14T10:00:00Z' });
    const none = recording('DCIM/100_AERO/CLIP0003.MP4');
    expect(paths(shootingOrder([none, local, utc]))).toEqual([utc.path, local.path, none.path]);
  });

  test('goes by the names where the clock was set back on the way', () => {
    const first = recording('DCIM/100_AERO/CLIP0001.MP4', { recordedAt: '2026-05-14T10:00:00Z' });
    const second = recording('DCIM/100_AERO/CLIP0002.MP4', { recordedAt: '2020-01-01T00:00:00Z' });
    expect(paths(shootingOrder([second, first]))).toEqual([first.path, second.path]);
  });

  test('puts 0001 after 9999, in one folder and across folders', () => {
    const names = ['100_AERO/AERO9998', '100_AERO/AERO9999', '101_AERO/AERO0001', '101_AERO/AERO0002'];
    const across = names.map((name) => recording(`DCIM/${name}.JPG`));
    expect(shootingOrder(across.toReversed())).toEqual(across);
    const inOne = [9998, 9999, 1, 2].map((n) =>
      recording(`DCIM/100_AERO/AERO${String(n).padStart(4, '0')}.JPG`),
    );
    expect(paths(shootingOrder(inOne.toReversed()))).toEqual(paths(inOne));
  });

  test('keeps low numbers first where nothing was rolled over, or the times say so', () => {
    const apart = [1, 2, 9000, 9001].map((n) =>
      recording(`DCIM/100_AERO/AERO${String(n).padStart(4, '0')}.JPG`),
    );
    expect(paths(shootingOrder(apart.toReversed()))).toEqual(paths(apart));
    const dated = [
      recording('DCIM/100_AERO/AERO0001.JPG', { recordedAt: '2026-05-14T09:00:00Z' }),
      recording('DCIM/100_AERO/AERO9999.JPG', { recordedAt: '2026-05-14T10:00:00Z' }),
      recording('DCIM/101_AERO/AERO0001.JPG'),
    ];
    expect(paths(shootingOrder(dated.toReversed()))).toEqual(paths(dated));
  });

  test('does not depend on the order that it is given, and loses none', () => {
    const some = Array.from({ length: 12 }, (_, at) =>
      recording(
        `DCIM/${100 + (at % 3)}_AERO/AERO${String(9990 + at)
          .slice(-4)
          .padStart(4, '0')}.JPG`,
      ),
    );
    const expected = paths(shootingOrder(some));
    fc.assert(
      fc.property(fc.shuffledSubarray(some, { minLength: some.length }), (shuffled) => {
        expect(paths(shootingOrder(shuffled))).toEqual(expected);
      }),
    );
    expect(expected.toSorted()).toEqual(paths(some).toSorted());
  });
});

describe('joinedSplits()', () => {
  const limitBytes = 1000;
  const facts = {
    width: 3840,
    height: 2160,
    codec: 'hevc',
    durationSeconds: 300,
    playbackFrameRate: { numerator: 25, denominator: 1 },
  };
  const part = (number: number, sizeBytes: number, more: Partial<FactValues>): Recording =>
    recording(`DCIM/100_AERO/CLIP000${number}.MP4`, { ...facts, ...more }, { sizeBytes });
  const first = part(1, 990, { recordedAt: '2026-05-14T10:00:00Z' });
  const second = part(2, 995, { recordedAt: '2026-05-14T10:05:01Z' });
  const third = part(3, 400, { recordedAt: '2026-05-14T10:10:01Z', durationSeconds: 120 });
  const continues = (recordings: readonly Recording[]) =>
    joinedSplits(recordings, limitBytes).map((one) => one.continues);

  test('joins three files of one recording', () => {
    expect(continues([first, second, third])).toEqual([undefined, first.path, second.path]);
  });

  test('passes over stills that lie between', () => {
    const between = recording('DCIM/100_AERO/AERO0009.JPG');
    expect(continues([first, between, second])).toEqual([undefined, undefined, first.path]);
  });

  test.each([
    ['the first is not full', { ...first, sizeBytes: 700 }, second],
    ['the first is larger than a file can be', { ...first, sizeBytes: 1100 }, second],
    ['a number is missing', first, { ...second, path: 'DCIM/100_AERO/CLIP0003.MP4' }],
    ['it lies in another camera folder', first, { ...second, path: 'OTHER/100_AERO/CLIP0002.MP4' }],
    ['the next starts later', first, part(2, 995, { recordedAt: '2026-05-14T10:06:00Z' })],
    ['the codec is another', first, part(2, 995, { recordedAt: '2026-05-14T10:05:00Z', codec: 'h264' })],
    ['nothing says when it started', first, part(2, 995, {})],
    ['one time is UTC and the other local', first, part(2, 995, { recordedAt: '2026-05-14T10:05:01' })],
  ])('joins nothing where %s', (_, a, b) => {
    expect(continues([a, b])).toEqual([undefined, undefined]);
  });

  test('the timecode decides to the frame where it runs', () => {
    const from = part(1, 990, { startTimecode: '10:00:00:00' });
    expect(continues([from, part(2, 5, { startTimecode: '10:05:00:01' })])[1]).toBe(from.path);
    expect(continues([from, part(2, 5, { startTimecode: '10:05:04:00' })])[1]).toBeUndefined();
  });

  test('by default the limit is that of FAT32, 4 GiB', () => {
    const full = { ...first, sizeBytes: 4_294_967_295 };
    expect(joinedSplits([full, second])[1]?.continues).toBe(full.path);
    expect(joinedSplits([{ ...first, sizeBytes: 4_000_000_000 }, second])[1]?.continues).toBe(full.path);
    expect(joinedSplits([{ ...first, sizeBytes: 3_000_000_000 }, second])[1]?.continues).toBeUndefined();
  });
});

describe('a card with copies and exports on it', () => {
  let dump: Awaited<ReturnType<typeof readDump>>;
  let removeFolder: () => Promise<void>;
  const edited = new Map<string, string | undefined>();

  beforeAll(async () => {
    const folder = await scratchFolder();
    removeFolder = () => folder.remove();
    const put = async (name: string, content: Buffer): Promise<void> => {
      await mkdir(dirname(join(folder.path, name)), { recursive: true });
      await writeFile(join(folder.path, name), content);
    };
    const make = async (name: string, ...args: string[]): Promise<Buffer> => {
      const file = join(folder.path, '..', `${Date.now()}-${name}`);
      await makeMedia(...testPicture('25', 1), ...args, file);
      const bytes = await readFile(file);
      await rm(file);
      return bytes;
    };
    const h264 = ['-c:v', 'libx264', '-pix_fmt', 'yuv420p'];
    const clip = await make('a.mp4', ...h264);
    await put('DCIM/100_AERO/CLIP0001.MP4', clip);
    await put('DCIM/100_AERO/CLIP0002.MP4', clip);
    await put('DCIM/100_AERO/CLIP0002.SRT', Buffer.from('1\n00:00:00,000 --> 00:00:01,000\niso 100\n'));
    await put('backup/CLIP0001.MP4', clip);
    const twin = await make('f.mp4', ...h264, '-crf', '33');
    for (const [number, iso] of [
      [5, 100],
      [6, 400],
      [7, 100],
    ] as const) {
      await put(`DCIM/100_AERO/CLIP000${number}.MP4`, twin);
      await put(
        `DCIM/100_AERO/CLIP000${number}.SRT`,
        Buffer.from(`1\n00:00:00,000 --> 00:00:01,000\niso ${iso}\n`),
      );
    }
    await put('DCIM/100_AERO/CLIP0003.MP4', await make('b.mp4', ...h264, '-crf', '30'));
    await put('exports/trailer final.mp4', await make('c.mp4', ...h264, '-crf', '31'));
    await put(
      'exports/with camera.mov',
      await make(
        'd.mov',
        ...h264,
        '-metadata',
        'make=Aero',
        '-metadata',
        'model=One',
        '-movflags',
        'use_metadata_tags',
      ),
    );
    await put(
      'exports/renamed.mov',
      await make(
        'g.mov',
        ...h264,
        '-crf',
        '34',
        '-fflags',
        '+bitexact',
        '-movflags',
        'use_metadata_tags',
        '-metadata',
        'com.apple.quicktime.software=V01.02.0300',
      ),
    );
    await put('exports/no words.mp4', await make('e.mp4', ...h264, '-crf', '32', '-fflags', '+bitexact'));
    dump = await readDump(folder.path);
    const programs = await locatePrograms();
    for (const entry of dump.entries)
      edited.set(entry.path, (await readRecording(entry, programs)).edited?.message);
  }, 60_000);
  afterAll(() => removeFolder());

  test('copies are counted once, and the one with a sidecar stays', () => {
    expect(dump.leftAside.duplicates).toBe(3);
    const kept = dump.entries.find(({ path }) => path === 'DCIM/100_AERO/CLIP0002.MP4');
    expect(kept?.copies).toEqual(['DCIM/100_AERO/CLIP0001.MP4', 'backup/CLIP0001.MP4']);
  });

  test('clips of one content are no copies where the text beside them differs', () => {
    const copiesOf = (name: string) =>
      dump.entries.filter(({ path }) => path === `DCIM/100_AERO/${name}`).map(({ copies }) => copies);
    expect(copiesOf('CLIP0005.MP4')).toEqual([['DCIM/100_AERO/CLIP0007.MP4']]);
    expect(copiesOf('CLIP0006.MP4')).toEqual([undefined]);
  });

  test('an export beside the card is told from recordings, and says by what', () => {
    expect(edited.get('exports/trailer final.mp4')).toMatch(
      /another program than the camera's \(container tag encoder "Lav/,
    );
  });

  test.each([
    ['lies among the camera files', 'DCIM/100_AERO/CLIP0003.MP4'],
    ['knows its camera', 'exports/with camera.mov'],
    ['names only the firmware of a camera', 'exports/renamed.mov'],
    ['does not say what wrote it', 'exports/no words.mp4'],
  ])('what %s stays a recording', (_, path) => {
    expect(edited.has(path)).toBe(true);
    expect(edited.get(path)).toBeUndefined();
  });

  test('without a camera folder nothing is an export, and a file that is named is read', async () => {
    const alone = await readDump(join(dump.entries[0]!.file.toString(), '../../../exports'));
    expect(alone.entries.length).toBe(4);
    expect(alone.entries.some(({ isBesideCard }) => isBesideCard)).toBe(false);
  });
});
