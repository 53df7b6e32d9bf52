import { execFile, spawn } from 'node:child_process';
import {
  appendFileSync,
  cpSync,
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import path from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { countedPrograms, type CountedPrograms } from '../audit/countedPrograms.ts';
import { makeMedia, scratchFolder, testPicture } from '../reading/madeMedia.ts';

const root = path.resolve(import.meta.dirname, '../..');
const scratch = await scratchFolder();
const card = path.join(scratch.path, 'card');
const clips = 8;
let programs: CountedPrograms;
/** A copy of the built program, so that its code may be changed. */
const installed = path.join(scratch.path, 'installed');

beforeAll(async () => {
  mkdirSync(card);
  for (let clip = 1; clip <= clips; clip++)
    await makeMedia(
      ...testPicture('25', 2, '640x360'),
      '-c:v',
      'libx264',
      '-metadata',
      `comment=${clip}`,
      path.join(card, `CLIP000${clip}.MP4`),
    );
  programs = countedPrograms(scratch.path);
  for (const part of ['dist', 'bin', 'package.json'])
    cpSync(path.join(root, part), path.join(installed, part), { recursive: true });
  symlinkSync(path.join(root, 'node_modules'), path.join(installed, 'node_modules'));
  // A file that changed less than two seconds ago is not remembered.
  await sleep(2200);
});

afterAll(() => scratch.remove());

const environment = (cache: string) => ({
  PATH: `${programs.folder}${path.delimiter}${process.env['PATH'] ?? ''}`,
  HOME: scratch.path,
  XDG_CACHE_HOME: path.join(scratch.path, cache),
});

const command = (words: readonly string[]) => [path.join(installed, 'bin', 'halfturn.js'), ...words];
const auditWords = ['audit', card, '--no-logbook'];

interface Ran {
  readonly stdout: string;
  readonly stderr: string;
  readonly status: number;
}

function halfturn(cache: string, words: readonly string[] = auditWords): Promise<Ran> {
  return new Promise((resolve) => {
    execFile(process.execPath, command(words), { env: environment(cache) }, (error, stdout, stderr) =>
      resolve({ stdout, stderr, status: error === null ? 0 : Number(error.code) }),
    );
  });
}

const remembered = (cache: string): readonly string[] => {
  const folder = path.join(scratch.path, cache, 'halfturn');
  return existsSync(folder) ? readdirSync(folder).filter((name) => name.endsWith('.measured')) : [];
};

it('halfturn audit says what was not measured again, on the terminal and nowhere else', async () => {
  const first = await halfturn('usual');
  const again = await halfturn('usual');
  expect(again.stdout).toBe(
    `${first.stdout}\nAll 8 files were unchanged since an earlier audit and not measured again.\n`,
  );
  expect([first.stderr, again.stderr]).toEqual(['', '']);
  const json = await halfturn('usual', [...auditWords, '--json']);
  const afresh = await halfturn('usual', [...auditWords, '--json', '--no-cache']);
  const timeless = (text: string): string => text.replace(/"generatedAt": "[^"]*"/, '');
  expect(timeless(json.stdout)).toBe(timeless(afresh.stdout));
  expect((await halfturn('usual', [...auditWords, '--quiet'])).stdout).toBe('');
});

it('what halfturn note measured is not measured again', async () => {
  await halfturn('noted', ['note', card, '--print']);
  const { stdout } = await halfturn('noted');
  expect(stdout).toMatch(/All 8 files were unchanged since an earlier audit and not measured again\.\n$/);
});

const shown = path.join(card, 'CLIP0003.MP4');

it('halfturn show after an audit starts no program and prints what it prints without a cache', async () => {
  await halfturn('shown');
  programs.starts();
  const afterAudit = await halfturn('shown', ['show', shown]);
  expect(programs.starts()).toBe(0);
  const anew = await halfturn('shown', ['show', shown, '--no-cache']);
  expect(programs.starts()).toBeGreaterThan(0);
  expect(afterAudit).toEqual(anew);
  expect(afterAudit.stdout).toMatch(/^CLIP0003\.MP4 /);
});

it('what halfturn show measured is not measured again, save under other options of measuring', async () => {
  await halfturn('show-first', ['show', shown]);
  expect((await halfturn('show-first')).stdout).toMatch(
    /\n1 of 8 files was unchanged since an earlier audit and not measured again\.\n$/,
  );
  programs.starts();
  await halfturn('show-first', ['show', shown, '--measure', 'every']);
  expect(programs.starts()).toBeGreaterThan(0);
});

it('--no-cache measures everything and leaves no folder', async () => {
  const { stdout } = await halfturn('none', [...auditWords, '--no-cache']);
  expect(stdout).not.toMatch(/earlier audit/);
  await halfturn('none', ['show', shown, '--no-cache']);
  expect(existsSync(path.join(scratch.path, 'none'))).toBe(false);
});

it('an audit that is killed goes on where it stopped: what was finished is not measured again', async () => {
  programs.starts();
  await halfturn('whole');
  const allStarts = programs.starts();
  // What the programs say of their versions is remembered too.
  const versions = remembered('whole').length - clips;
  const child = spawn(process.execPath, command(auditWords), { env: environment('killed'), stdio: 'ignore' });
  const closed = new Promise((resolve) => child.on('close', resolve));
  while (remembered('killed').length < versions + 2 && child.exitCode === null) await sleep(2);
  child.kill('SIGKILL');
  await closed;
  const finished = remembered('killed').length - versions;
  expect(finished).toBeGreaterThanOrEqual(2);
  expect(finished).toBeLessThan(clips);
  programs.starts();
  const { stdout } = await halfturn('killed');
  expect(stdout).toContain(`\n${finished} of 8 files were unchanged since an earlier audit`);
  expect(programs.starts()).toBeLessThan(allStarts);
  expect((await halfturn('killed')).stdout).toMatch(/All 8 files were unchanged/);
});

/** Whether something is read anew shows without measuring. */
const readWords = [...auditWords, '--measure', 'off'];

it('other code measures anew', async () => {
  await halfturn('code', readWords);
  expect((await halfturn('code', readWords)).stdout).toMatch(/All 8 files were unchanged/);
  appendFileSync(path.join(installed, 'dist', 'measuring', 'level.js'), '\n// other code\n');
  expect((await halfturn('code', readWords)).stdout).not.toMatch(/earlier audit/);
  expect((await halfturn('code', readWords)).stdout).toMatch(/All 8 files were unchanged/);
});

it('another ffmpeg measures anew', async () => {
  await halfturn('programs', readWords);
  const script = path.join(programs.folder, 'ffmpeg');
  const before = readFileSync(script, 'utf8');
  const renamed = `#!/bin/sh\n[ "$1" = -version ] && "${'$'}{0}.before" -version | sed 's/^configuration:/& --other/' && exit\n`;
  cpSync(script, `${script}.before`);
  writeFileSync(script, `${renamed}${before.replace('#!/bin/sh\n', '')}`);
  expect((await halfturn('programs', readWords)).stdout).not.toMatch(/earlier audit/);
  writeFileSync(script, before);
  expect((await halfturn('programs', readWords)).stdout).toMatch(/All 8 files were unchanged/);
});

it('a cache that cannot be written to costs one warning, and the audit is whole', async () => {
  const usual = await halfturn('afresh', [...auditWords, '--no-cache']);
  mkdirSync(path.join(scratch.path, 'blocked'));
  writeFileSync(path.join(scratch.path, 'blocked', 'halfturn'), '');
  const blocked = await halfturn('blocked');
  expect(blocked.stdout).toBe(usual.stdout);
  expect(blocked.status).toBe(0);
  const warning = /^halfturn: Measurements could not be kept for the next audit \(.+\)\..*\n$/;
  expect(blocked.stderr).toMatch(warning);
  const show = await halfturn('blocked', ['show', shown]);
  expect(show.stdout).toBe((await halfturn('afresh', ['show', shown, '--no-cache'])).stdout);
  expect(show.status).toBe(0);
  expect(show.stderr).toMatch(warning);
});

it('nothing is remembered inside the dump', async () => {
  const { stderr, status } = await halfturn('card/cache');
  expect(status).toBe(0);
  expect(stderr).toMatch(/lies inside the dump/);
  expect(existsSync(path.join(card, 'cache'))).toBe(false);
});

it('halfturn doctor says where the cache is, how large, and that it may go', async () => {
  const { stdout } = await halfturn('usual', ['doctor']);
  expect(stdout).toMatch(
    /Measurements are remembered in .*usual\/halfturn \(0\.\d MB\); the folder may be deleted at any time/,
  );
  expect((await halfturn('empty', ['doctor'])).stdout).toMatch(/\(nothing yet\)/);
});
