import { execFileSync } from 'node:child_process';
import { mkdir, symlink, writeFile } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { HalfturnError } from '../../src/domain/halfturnError.ts';
import { readDump } from '../../src/reading/dump.ts';
import { scratchFolder } from './madeMedia.ts';

const folder = await scratchFolder();
afterAll(() => folder.remove());

// Only the first bytes are looked at here, so a box header is enough of a clip.
const clip = Buffer.concat([Buffer.from('\0\0\0\x10ftypisom\0\0\0\0', 'latin1'), Buffer.alloc(1000)]);
const still = Buffer.concat([Buffer.from([0xff, 0xd8, 0xff, 0xe0]), Buffer.alloc(100)]);

// No two are copies of one another, unless said.
async function put(
  name: string | Buffer,
  content: string | Buffer = Buffer.concat([clip, Buffer.from(name as string)]),
): Promise<void> {
  const root = Buffer.from(`${folder.path}/`);
  const path = Buffer.concat([root, Buffer.from(name as string)]);
  if (typeof name === 'string') await mkdir(dirname(join(folder.path, name)), { recursive: true });
  await writeFile(path, content);
}

const hostile = [
  '-dash.mp4',
  '%03d.mp4',
  'a b\'c"d.mp4',
  'C:clip.mp4',
  'line\nbreak.mp4',
  '\u001b[31mred.mp4',
  'http:x.mp4',
];
let dump: Awaited<ReturnType<typeof readDump>>;
beforeAll(async () => {
  for (const name of hostile) await put(`card/names/${name}`);
  await put(Buffer.concat([Buffer.from('card/names/x'), Buffer.from([0xff]), Buffer.from('.mp4')]));
  await put('card/DCIM/CLIP0002.MP4');
  await put('card/DCIM/CLIP0001.MP4');
  await put('card/DCIM/clip0001.srt', 'x');
  await put('card/DCIM/CLIP0001.mp4.xmp', 'x');
  await put('card/DCIM/IMG0001.JPG', still);
  await put('card/DCIM/img0001.XMP', 'x');
  await put('card/DCIM/IMG0001.SRT', 'x');
  await put('card/other/CLIP0002.SRT', 'x');
  await put('card/DCIM/EMPTY.MP4', '');
  await put('card/DCIM/LIST.MP4', '#EXTM3U\nCLIP0001.MP4\n');
  await put('card/DCIM/SCRIPT.MOV', '#!/bin/sh\n');
  await put('card/DCIM/PICTURE.MP4', still);
  await put('card/DCIM/MOVIE.JPG', clip);
  await put('card/code/module.ts', 'const a = 1;\n');
  await put('card/Proxy/CLIP0001.MP4');
  await put('card/DCIM/CLIP0002_proxy.MOV');
  await put('card/DCIM/TWIN.MOV', Buffer.concat([clip, Buffer.alloc(20_000)]));
  await put('card/DCIM/TWIN.MP4');
  await put('card/DCIM/CLIP0001.THM', still);
  await put('card/.Trashes/CLIP0009.MP4');
  await put('card/DCIM/._CLIP0001.MP4');
  await put('card/Thumbs.db', 'x');
  await put('card/notes.txt', 'x');
  await symlink('..', join(folder.path, 'card/DCIM/loop'));
  await symlink('CLIP0001.MP4', join(folder.path, 'card/DCIM/LINK.MP4'));
  execFileSync('mkfifo', [join(folder.path, 'card/DCIM/PIPE.MP4')]);
  dump = await readDump(join(folder.path, 'card'));
});

describe('readDump() of a folder', () => {
  test('finds clips and stills in the order of their bytes', () => {
    expect(
      dump.entries.filter(({ path }) => path.startsWith('DCIM/')).map(({ path, kind }) => [path, kind]),
    ).toEqual([
      ['DCIM/CLIP0001.MP4', 'clip'],
      ['DCIM/CLIP0002.MP4', 'clip'],
      ['DCIM/IMG0001.JPG', 'still'],
      ['DCIM/TWIN.MOV', 'clip'],
    ]);
  });

  test('takes every name, and shows it so that it can be printed', () => {
    const shown = dump.entries
      .filter(({ path }) => path.startsWith('names/'))
      .map(({ path }) => path.slice(6));
    expect(shown.toSorted()).toEqual(
      [
        ...hostile.slice(0, 4),
        'line\\x0abreak.mp4',
        '\\x1b[31mred.mp4',
        'http:x.mp4',
        'x\\xff.mp4',
      ].toSorted(),
    );
  });

  test('pairs sidecars of the same folder, in either case, text only with clips', () => {
    const sidecars = (path: string) =>
      dump.entries.find((one) => one.path === path)?.sidecars.map((one) => one.path);
    expect(sidecars('DCIM/CLIP0001.MP4')).toEqual(['DCIM/clip0001.srt', 'DCIM/CLIP0001.mp4.xmp']);
    expect(sidecars('DCIM/IMG0001.JPG')).toEqual(['DCIM/img0001.XMP']);
    expect(sidecars('DCIM/CLIP0002.MP4')).toEqual([]);
  });

  test('says what is wrong with files that are not what their name says', () => {
    expect(dump.problems.map(({ path, message }) => [path, message])).toEqual([
      ['DCIM/EMPTY.MP4', 'is empty'],
      ['DCIM/LINK.MP4', 'is a link, and links are not followed'],
      ['DCIM/LIST.MP4', 'is not a video although its name says so'],
      ['DCIM/MOVIE.JPG', 'is not a picture although its name says so'],
      ['DCIM/PICTURE.MP4', 'is not a video although its name says so'],
      ['DCIM/PIPE.MP4', 'is not a regular file'],
      ['DCIM/SCRIPT.MOV', 'is not a video although its name says so'],
    ]);
    for (const { hint } of dump.problems) expect(hint).toMatch(/\.$/);
  });

  test('counts what it leaves alone', () => {
    expect(dump.leftAside).toEqual({
      hidden: 3,
      proxies: 3,
      thumbnails: 1,
      links: 1,
      'unpaired-sidecars': 2,
      other: 2,
    });
  });

  test('gives the same answer twice', async () => {
    expect(await readDump(join(folder.path, 'card'))).toEqual(dump);
  });
});

test('readDump() of one file takes its sidecars along', async () => {
  const { entries } = await readDump(join(folder.path, 'card/DCIM/CLIP0001.MP4'));
  expect(entries).toHaveLength(1);
  expect(entries[0]).toMatchObject({ path: 'CLIP0001.MP4', kind: 'clip' });
  expect(entries[0]?.sidecars.map(({ path }) => path)).toEqual(['clip0001.srt', 'CLIP0001.mp4.xmp']);
});

test('readDump() does not go deeper than it says', async () => {
  await put(`deep/${'d/'.repeat(45)}CLIP.MP4`);
  const { entries, problems } = await readDump(join(folder.path, 'deep'));
  expect(entries).toEqual([]);
  expect(problems[0]?.message).toMatch(/more than 40 folders deep/);
});

test.each([
  ['nothing', /^There is no folder or file/],
  ['empty', /holds no clips or stills$/],
  ['card/notes.txt', /is not a clip or still/],
  ['card/DCIM/PIPE.MP4', /is neither a folder nor a file$/],
])('readDump(%s) is an error with a sentence and advice', async (name, sentence) => {
  await mkdir(join(folder.path, 'empty'), { recursive: true });
  const error = await readDump(join(folder.path, name)).then(
    () => undefined,
    (reason: unknown) => reason,
  );
  expect(error).toBeInstanceOf(HalfturnError);
  expect((error as HalfturnError).message).toMatch(sentence);
  expect((error as HalfturnError).hint).toMatch(/\.$/);
});

describe('the low-resolution copy of a clip', () => {
  const large = (name: string) => Buffer.concat([clip, Buffer.alloc(20_000), Buffer.from(name)]);

  /** Writes a card of these clips, large ones first and copies after "<-", and says which copy each clip was given. */
  async function copiesIn(card: string, names: string, at = ''): Promise<Readonly<Record<string, string>>> {
    const [clips = '', copies = ''] = names.split('<-');
    for (const name of clips.split(' ').filter(Boolean)) await put(`${card}/${name}`, large(name));
    for (const name of copies.split(' ').filter(Boolean)) await put(`${card}/${name}`);
    const { entries } = await readDump(join(folder.path, card, at));
    const root = join(folder.path, card).length + 1;
    return Object.fromEntries(
      entries.map(({ file, lowResolutionCopy }) =>
        [file, lowResolutionCopy].map((path) => path?.toString().slice(root) ?? ''),
      ) as [string, string][],
    );
  }

  test.each([
    ['ending', 'A.MP4 <- A.LRV'],
    ['ending-case', 'A.mp4 <- A.lrf'],
    ['name-case', 'A.MP4 <- a.Lrf'],
    ['suffix', 'D/A.MP4 <- D/A_Proxy.MOV'],
    ['dash', 'A.MOV <- A-proxy.mov'],
    ['folder', 'D/A.MOV <- D/Proxy/A.mov'],
    ['folder-ending', 'A.MXF <- PROXIES/A.LRV'],
    ['folder-suffix', 'A.MXF <- PROXY/A_proxy.MP4'],
    ['smaller', 'A.MOV <- A.MP4'],
  ])('is found by name, for the card as for the clip alone: %s', async (card, names) => {
    const [original, copy] = names.split(' <- ');
    expect(await copiesIn(card, names)).toEqual({ [original!]: copy });
    expect(await copiesIn(card, names, original)).toEqual({ [original!]: copy });
  });

  test.each([
    ['two-copies', 'A.MP4 <- A.LRV PROXY/A.MP4'],
    ['two-endings', 'A.MP4 <- A.LRV A.LRF'],
    ['smaller-and-named', 'A.MOV <- A.MP4 A.LRV'],
    ['two-clips', 'A.MOV A.MP4 <- A.LRV'],
    ['elsewhere', 'D/A.MP4 <- E/A.LRV'],
    ['other-name', 'A.MP4 <- A1.LRV'],
    ['hidden', 'A.MP4 <- ._A.LRV PROXY/._A.MP4'],
    ['thumbnail', 'A.MP4 <- A.THM'],
  ])('is not guessed: %s', async (card, names) => {
    const originals = names.split(' <- ')[0]!.split(' ');
    const none = Object.fromEntries(originals.map((name) => [name, '']));
    expect(await copiesIn(card, names)).toEqual(none);
    expect(await copiesIn(card, names, originals[0])).toEqual({ [originals[0]!]: '' });
  });

  test('is left aside as before where its clip is missing, and a recording of its own where it is named', async () => {
    await copiesIn('orphans', 'Z.MP4 <- A.LRV B_proxy.MP4 PROXY/C.MP4');
    const { entries, leftAside } = await readDump(join(folder.path, 'orphans'));
    expect(entries.map(({ path, lowResolutionCopy }) => [path, lowResolutionCopy])).toEqual([
      ['Z.MP4', undefined],
    ]);
    expect(leftAside).toEqual({ proxies: 2, other: 1 });
    expect(await copiesIn('orphans', '', 'PROXY/C.MP4')).toEqual({ 'PROXY/C.MP4': '' });
    await copiesIn('named', 'A.MOV <- A.MP4');
    expect(await copiesIn('named', '', 'A.MP4')).toEqual({ 'A.MP4': '' });
  });

  test('is no link and no still', async () => {
    await put('linked/A.MP4');
    await put('linked/B.JPG', still);
    await put('linked/B.LRV');
    await symlink('B.LRV', join(folder.path, 'linked/A.LRV'));
    expect(await copiesIn('linked', '')).toEqual({ 'A.MP4': '', 'B.JPG': '' });
  });
});
