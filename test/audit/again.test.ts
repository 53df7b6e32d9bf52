import {
  cpSync,
  existsSync,
  openSync,
  readdirSync,
  renameSync,
  rmSync,
  statSync,
  utimesSync,
  closeSync,
  copyFileSync,
  mkdirSync,
  readFileSync,
  readSync,
  writeFileSync,
  writeSync,
} from 'node:fs';
import path from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { audit } from '../../src/audit/audit.ts';
import type { AuditOptions, CacheUse } from '../../src/audit/options.ts';
import { codeVersion } from '../../src/cache/codeVersion.ts';
import type { AuditDocument } from '../../src/document/auditDocument.ts';
import { defaultLimits } from '../../src/domain/limits.ts';
import type { RecordingPictures } from '../../src/domain/measurement.ts';
import { makeMedia, scratchFolder, testPicture } from '../reading/madeMedia.ts';
import { countedPrograms, type CountedPrograms } from './countedPrograms.ts';

// A file that changed less than two seconds ago is not remembered, because a second change could leave the same time.
const settledMs = 2200;

const scratch = await scratchFolder();
const card = path.join(scratch.path, 'card');
const clip = path.join(card, 'CLIP0001.MP4');
const sidecar = path.join(card, 'CLIP0001.SRT');
let programs: CountedPrograms;
let cacheFolder: string;
let caches = 0;
/** The card audited once, with what was remembered of it. */
let once: Audited;
const onceFolder = path.join(scratch.path, 'cache-of-once');
const searchPath = process.env['PATH'];

const subtitles = (shutter: string): string =>
  `1\n00:00:00,000 --> 00:00:02,000\n[iso : 100] [shutter : ${shutter}] [fnum : 2.8] [ev : 0]\n\n`;

beforeAll(async () => {
  mkdirSync(card);
  await makeMedia(...testPicture('25', 2), '-c:v', 'libx264', '-b:v', '2M', clip);
  await makeMedia(...testPicture('30', 2), '-c:v', 'libx264', path.join(card, 'CLIP0002.MP4'));
  await makeMedia(...testPicture('1', 1, '640x360'), '-frames:v', '1', path.join(card, 'STIL0001.JPG'));
  writeFileSync(sidecar, subtitles('1/800'));
  writeFileSync(path.join(card, 'CLIP0003.MP4'), readFileSync(clip).subarray(0, 20_000));
  // To the second, so that it can be set back exactly.
  utimesSync(clip, new Date('2026-05-14T20:00:00Z'), new Date('2026-05-14T20:00:00Z'));
  programs = countedPrograms(scratch.path);
  process.env['PATH'] = `${programs.folder}${path.delimiter}${searchPath}`;
  await auditOnce();
});

/** Also after a file of the card was written again: its times are others then. */
async function auditOnce(): Promise<void> {
  await sleep(settledMs);
  once = await audited({ cacheFolder: onceFolder });
}

/** As after a first audit. */
function auditedOnce(): Audited {
  cpSync(onceFolder, cacheFolder, { recursive: true });
  return once;
}

afterAll(async () => {
  process.env['PATH'] = searchPath;
  await scratch.remove();
});

beforeEach(() => {
  cacheFolder = path.join(scratch.path, `cache-${caches++}`);
  programs.starts();
});

interface Audited {
  readonly document: AuditDocument;
  readonly pictures: readonly RecordingPictures[];
  readonly cacheUse: CacheUse;
  /** Of ffprobe and ffmpeg together. */
  readonly starts: number;
}

async function audited(options: AuditOptions = {}, dump = card): Promise<Audited> {
  const pictures: RecordingPictures[] = [];
  let cacheUse: CacheUse = { fromCache: 0, total: 0 };
  const document = await audit(dump, {
    generatedAt,
    cacheFolder,
    onPictures: (made) => void pictures.push(made),
    onCacheUse: (use) => void (cacheUse = use),
    ...options,
  });
  pictures.sort((a, b) => (a.path < b.path ? -1 : 1));
  return { document, pictures, cacheUse, starts: programs.starts() };
}

const generatedAt = '2026-05-14T20:00:00Z';
const files = 4;

describe('an unchanged card that is audited again', () => {
  it('gives the same document and the same pictures, without starting a program', async () => {
    const first = await audited();
    const again = await audited();
    expect(first.cacheUse.fromCache).toBe(0);
    expect(first.starts).toBeGreaterThan(4);
    expect(again.cacheUse).toEqual({ fromCache: files, total: files });
    expect(again.starts).toBe(0);
    for (const one of [first, again]) {
      expect(JSON.stringify(one.document)).toBe(JSON.stringify(once.document));
      expect(one.pictures).toEqual(once.pictures);
    }
    expect(again.pictures.length).toBe(3);
    expect(again.document.problems.map(({ path: where }) => where)).toEqual(['CLIP0003.MP4']);
  });

  it('is measured anew where no cache folder is given', async () => {
    auditedOnce();
    const { cacheFolder: _, ...without } = { cacheFolder };
    const document = await audit(card, { ...without, measure: 'off' });
    expect(document.recordings.length).toBe(3);
    expect(programs.starts()).toBeGreaterThan(0);
  });

  it('is measured anew under other measuring options, and not under another exposure window', async () => {
    auditedOnce();
    const wider = { ...defaultLimits, windowStops: [-2, 1] as const, baseIso: 200 };
    expect((await audited({ limits: wider })).cacheUse.fromCache).toBe(files);
    expect((await audited({ measure: 'every' })).cacheUse.fromCache).toBe(0);
    expect((await audited({ measure: 'off' })).cacheUse.fromCache).toBe(0);
    expect((await audited({ checkShutter: true })).cacheUse.fromCache).toBe(0);
    const clipped = { ...defaultLimits, clippedFraction: 0.5 };
    expect((await audited({ limits: clipped })).cacheUse.fromCache).toBe(0);
    expect((await audited({ measure: 'every' })).cacheUse.fromCache).toBe(files);
  });

  it('is judged by the settings of the day though nothing is read again', async () => {
    const window = (windowStops: readonly [number, number]) => ({
      limits: { ...defaultLimits, windowStops },
    });
    const first = await audited(window([-9, 9]));
    const again = await audited(window([-9, -8]));
    expect(again.starts).toBe(0);
    const kinds = ({ document }: Audited) =>
      document.recordings.flatMap(({ findings }) => findings.map(({ kind }) => kind));
    expect(kinds(first)).not.toContain('too-bright');
    expect(kinds(again)).toContain('too-bright');
  });

  it('has the small pictures that an earlier audit did not ask for, and starts no program for them', async () => {
    const document = await audit(card, { cacheFolder, generatedAt });
    programs.starts();
    const withPictures = await audited();
    expect(withPictures.starts).toBe(0);
    expect(withPictures.cacheUse.fromCache).toBe(files);
    expect(withPictures.document).toEqual(document);
    expect(withPictures.pictures.length).toBe(3);
    expect(withPictures.pictures).toEqual(once.pictures);
  });
});

describe('a card that changed', () => {
  it('has a clip measured anew of which bytes in the middle changed, though length and time of writing are the same', async () => {
    auditedOnce();
    const before = statSync(clip);
    const original = readFileSync(clip);
    // Outside the first, middle and last 16 KiB, which a fingerprint looks at.
    const at = Math.floor(before.size / 4);
    expect(at).toBeGreaterThan(16_384);
    expect(at + 4096).toBeLessThan(before.size / 2 - 8192);
    const file = openSync(clip, 'r+');
    const old = Buffer.alloc(4096);
    readSync(file, old, 0, 4096, at);
    writeSync(
      file,
      old.map((byte) => byte ^ 0x55),
      0,
      4096,
      at,
    );
    closeSync(file);
    utimesSync(clip, before.atime, before.mtime);
    expect([statSync(clip).size, statSync(clip).mtimeMs]).toEqual([before.size, before.mtimeMs]);
    const again = await audited();
    expect(again.cacheUse.fromCache).toBe(files - 1);
    expect(again.starts).toBeGreaterThan(0);
    const { document: afresh } = await audited({ cacheFolder: path.join(scratch.path, 'afresh') });
    expect(again.document).toEqual(afresh);
    writeFileSync(clip, original);
    utimesSync(clip, before.atime, before.mtime);
    await auditOnce();
  });

  it('has a clip read anew of which only the sidecar changed', async () => {
    const first = auditedOnce();
    const { mtime, atime } = statSync(sidecar);
    writeFileSync(sidecar, subtitles('1/400'));
    utimesSync(sidecar, atime, mtime);
    const again = await audited();
    const exposure = ({ document }: Audited) => document.recordings[0]!.facts.exposureSeconds?.value;
    expect([exposure(first), exposure(again)]).toEqual([1 / 800, 1 / 400]);
    expect(again.cacheUse.fromCache).toBe(files - 1);
    writeFileSync(sidecar, subtitles('1/800'));
    expect((await audited()).document).toEqual(first.document);
    await auditOnce();
  });

  it('has a clip read anew that was given a sidecar, or lost it', async () => {
    auditedOnce();
    const added = path.join(card, 'CLIP0002.SRT');
    copyFileSync(sidecar, added);
    expect((await audited()).cacheUse.fromCache).toBe(files - 1);
    rmSync(added);
    expect((await audited()).cacheUse.fromCache).toBe(files);
  });

  it('does not remember a file that changed only just now', async () => {
    const young = path.join(scratch.path, 'young');
    mkdirSync(young);
    copyFileSync(path.join(card, 'CLIP0002.MP4'), path.join(young, 'CLIP0002.MP4'));
    await audited({ measure: 'off' }, young);
    expect((await audited({ measure: 'off' }, young)).cacheUse.fromCache).toBe(0);
  });

  it('has a file remembered by its place in the dump, not by where the dump lies', async () => {
    auditedOnce();
    const moved = path.join(scratch.path, 'moved');
    renameSync(card, moved);
    const again = await audited({}, moved);
    renameSync(moved, card);
    expect(again.cacheUse.fromCache).toBe(files);
  });

  it('has a file remembered wherever the audit began: at the card, at a folder of it, or at the file alone', async () => {
    const whole = path.join(scratch.path, 'whole');
    const folder = path.join(whole, 'DCIM', '100_AERO');
    cpSync(card, folder, { recursive: true });
    mkdirSync(path.join(whole, 'SAVED'));
    copyFileSync(clip, path.join(whole, 'SAVED', 'CLIP0001.MP4'));
    await sleep(settledMs);
    const recordings = [
      whole,
      folder,
      ...['CLIP0001.MP4', 'STIL0001.JPG'].map((name) => path.join(folder, name)),
    ];
    await audited({}, whole);
    for (const begin of recordings) {
      const again = await audited({}, begin);
      expect([again.starts, again.cacheUse.fromCache]).toEqual([0, again.cacheUse.total]);
      rmSync(path.join(scratch.path, 'afresh'), { recursive: true, force: true });
      const afresh = await audited({ cacheFolder: path.join(scratch.path, 'afresh') }, begin);
      expect(JSON.stringify(again.document)).toBe(JSON.stringify(afresh.document));
      expect(again.pictures).toEqual(afresh.pictures);
    }
    const copies = (await audited({}, whole)).document.notes ?? [];
    expect(copies.map(({ path: where }) => where)).toEqual(['SAVED/CLIP0001.MP4']);
    expect((await audited({}, clip)).document.notes).toBeUndefined();
  });
});

describe('what may go otherwise another time', () => {
  it('is not remembered: a program that crashed is asked again', async () => {
    writeFileSync(programs.crashFlag, '');
    const crashed = await audited();
    rmSync(programs.crashFlag);
    expect(crashed.document.problems.length).toBeGreaterThan(1);
    const again = await audited();
    expect(again.document.problems.map(({ path: where }) => where)).toEqual(['CLIP0003.MP4']);
    expect(again.document).toEqual(once.document);
  });
});

describe('a cache folder', () => {
  it('whose files were damaged, cut off or exchanged costs nothing but time', async () => {
    const { document } = auditedOnce();
    const names = readdirSync(cacheFolder).map((name) => path.join(cacheFolder, name));
    for (const [at, file] of names.entries()) {
      const bytes = readFileSync(file);
      if (at % 3 === 0) writeFileSync(file, bytes.subarray(0, bytes.length >> 1));
      else if (at % 3 === 1) writeFileSync(file, bytes.fill(0, 100, 120));
      else copyFileSync(names[at - 1]!, file);
    }
    writeFileSync(path.join(cacheFolder, 'notes.txt'), 'somebody else’s');
    const again = await audited();
    expect(again.cacheUse).toEqual({ fromCache: 0, total: files });
    expect(again.document).toEqual(document);
    expect((await audited()).cacheUse.fromCache).toBe(files);
    expect(readFileSync(path.join(cacheFolder, 'notes.txt'), 'utf8')).toBe('somebody else’s');
  });

  it('that cannot be written to leaves the audit whole, and the trouble is told', async () => {
    const { document } = once;
    const blocked = path.join(scratch.path, 'blocked');
    writeFileSync(blocked, '');
    const again = await audited({ cacheFolder: blocked });
    expect(again.document).toEqual(document);
    expect(again.cacheUse.trouble).toMatch(/EEXIST|ENOTDIR/);
  });

  it('may be deleted while an audit uses it', async () => {
    const { document } = auditedOnce();
    const remove = () => rmSync(cacheFolder, { recursive: true, force: true, maxRetries: 5 });
    const again = await audited({ onProgress: remove });
    expect(again.document).toEqual(document);
    expect(again.cacheUse.trouble).toBeUndefined();
  });

  it('may be used by two audits at once', async () => {
    const [one, other] = await Promise.all([audited(), audited()]);
    expect(one.document).toEqual(other.document);
    expect((await audited()).cacheUse.fromCache).toBe(files);
    expect(readdirSync(cacheFolder).filter((name) => name.endsWith('.part'))).toEqual([]);
  });

  it('holds no file whose name a recording could choose', async () => {
    const hostile = path.join(scratch.path, 'hostile');
    mkdirSync(hostile);
    const names = [
      'x\\..\\..\\outside.MP4',
      '%2e%2e%2foutside.MP4',
      '-rf.MP4',
      '\u202eoutside.MP4',
      '$(id).MP4',
    ];
    for (const name of names) copyFileSync(path.join(card, 'CLIP0002.MP4'), path.join(hostile, name));
    for (const [at, name] of names.entries()) writeFileSync(path.join(hostile, name), `${at}`, { flag: 'a' });
    await sleep(settledMs);
    await audited({ measure: 'off' }, hostile);
    expect((await audited({ measure: 'off' }, hostile)).cacheUse.fromCache).toBe(names.length);
    const kept = readdirSync(cacheFolder, { recursive: true, encoding: 'utf8' });
    expect(kept.filter((name) => !/^[0-9a-f]{64}\.measured$/.test(name))).toEqual([]);
    expect(existsSync(path.join(scratch.path, 'outside.MP4'))).toBe(false);
  });
});

describe('codeVersion()', () => {
  it('changes with any file of the rooms that read and measure, and with no other', () => {
    const source = path.resolve(import.meta.dirname, '../../src');
    const copy = path.join(scratch.path, 'code');
    cpSync(source, copy, { recursive: true });
    const before = codeVersion(copy);
    expect(before).toBe(codeVersion(source));
    writeFileSync(path.join(copy, 'report', 'wording.ts'), '// another sentence\n');
    expect(codeVersion(copy)).toBe(before);
    const seen = new Set([before]);
    for (const file of [
      'containers/heif.ts',
      'measuring/lightLevel.ts',
      'reading/exif.ts',
      'domain/exposure.ts',
      'programs/run.ts',
    ]) {
      writeFileSync(path.join(copy, file), '\n', { flag: 'a' });
      seen.add(codeVersion(copy));
    }
    renameSync(path.join(copy, 'measuring', 'luma.ts'), path.join(copy, 'measuring', 'lumen.ts'));
    seen.add(codeVersion(copy));
    expect(seen.size).toBe(7);
  });
});
