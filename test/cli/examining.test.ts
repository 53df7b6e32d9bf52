import { execFile, spawn } from 'node:child_process';
import { chmodSync, existsSync, mkdirSync, readFileSync, rmSync, writeFileSync, copyFileSync } from 'node:fs';
import path from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { pathToFileURL } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { ends } from '../programs/alive.ts';
import { makeMedia, scratchFolder, testPicture } from '../reading/madeMedia.ts';
import { programPath } from '../renderMedia.ts';

const program = path.resolve(import.meta.dirname, '../../bin/halfturn.js');
const scratch = await scratchFolder();
const card = path.join(scratch.path, 'card');
const troubles = `--import ${pathToFileURL(path.resolve(import.meta.dirname, '../audit/troubles.mjs')).href}`;

beforeAll(async () => {
  mkdirSync(card);
  await makeMedia(...testPicture('25', 1), '-c:v', 'libx264', path.join(card, 'CLIP0001.MP4'));
  for (const [name, size] of [
    ['STIL0001', '640x360'],
    ['CRASHREAD', '320x180'],
  ] as const)
    await makeMedia(...testPicture('1', 1, size), '-frames:v', '1', path.join(card, `${name}.JPG`));
});

afterAll(() => scratch.remove());

const environment = (more: NodeJS.ProcessEnv) => ({
  PATH: process.env['PATH'],
  HOME: scratch.path,
  XDG_CACHE_HOME: path.join(scratch.path, 'cache'),
  ...more,
});

describe('the command, when a file crashes what examines it', () => {
  const shown = path.join(card, 'CRASHREAD.JPG');

  function halfturn(
    ...words: readonly string[]
  ): Promise<readonly [status: number, out: string, err: string]> {
    const env = environment({ NODE_OPTIONS: troubles, TROUBLE_LOG: path.join(scratch.path, 'log') });
    return new Promise((resolve) => {
      execFile(process.execPath, [program, ...words], { env }, (error, stdout, stderr) =>
        resolve([error === null ? 0 : Number(error.code), stdout, stderr]),
      );
    });
  }

  it('audits all others, and says which file it was and what to do', async () => {
    const [status, out, err] = await halfturn('audit', card, '--no-logbook');
    expect(out).toContain('CLIP0001');
    expect(out).toContain('1 clip and 1 still');
    expect(out.replaceAll(/\s+/g, ' ')).toContain(
      'CRASHREAD.JPG made the part of Halfturn that reads files crash (SIGSEGV). It may be damaged: copy it from the card again.',
    );
    expect(err).toBe('');
    expect(status).toBe(0);
    const [strict] = await halfturn('audit', card, '--no-logbook', '--strict', '--quiet');
    expect(strict).toBe(1);
  });

  it('shows a sentence instead of that file', async () => {
    const [status, out, err] = await halfturn('show', shown);
    expect(out).toBe('');
    expect(err).toMatch(/^halfturn: CRASHREAD\.JPG: made the part .* crash \(SIGSEGV\)\. It may be damaged/);
    expect(status).toBe(2);
  });
});

describe.skipIf(process.platform === 'win32')('the command, when it is ended while it measures', () => {
  const programs = path.join(scratch.path, 'programs');
  const log = path.join(scratch.path, 'started');

  beforeAll(() => {
    mkdirSync(programs);
    const real = programPath('ffmpeg');
    const script = path.join(programs, 'ffmpeg');
    // Says who it is and who started it, and lasts longer than any test.
    const lines = [
      '#!/bin/sh',
      `[ "$1" = -version ] && exec '${real}' "$@"`,
      `echo $$ $PPID > '${log}.part'`,
    ];
    writeFileSync(script, [...lines, `mv '${log}.part' '${log}'`, 'exec sleep 600', ''].join('\n'));
    chmodSync(script, 0o755);
  });

  /** Whether the signal goes to one process, or to the group that it leads, as a terminal has it. */
  it.each([
    ['is killed', 'SIGKILL', 'one'],
    ['is told to end', 'SIGTERM', 'one'],
    ['is interrupted at a terminal', 'SIGINT', 'group'],
    ['loses its terminal', 'SIGHUP', 'group'],
  ] as const)('leaves nothing running when it %s', async (_, signal, whom) => {
    rmSync(log, { force: true });
    const env = environment({ PATH: `${programs}${path.delimiter}${process.env['PATH'] ?? ''}` });
    const words = ['audit', path.join(card, 'CLIP0001.MP4'), '--no-logbook', '--no-cache'];
    const child = spawn(process.execPath, [program, ...words], { env, stdio: 'ignore', detached: true });
    const closed = new Promise((resolve) => child.once('close', (status) => resolve(status)));
    while (!existsSync(log)) await sleep(20);
    const [ffmpeg = 0, starter = 0] = readFileSync(log, 'utf8').split(' ').map(Number);
    expect([child.pid, ffmpeg]).not.toContain(starter);
    process.kill(whom === 'one' ? child.pid! : -child.pid!, signal);
    const status = { SIGKILL: null, SIGTERM: 143, SIGINT: 130, SIGHUP: 129 }[signal];
    expect(await closed).toBe(status);
    expect(await ends(starter)).toBe(true);
    expect(await ends(ffmpeg)).toBe(true);
  });

  it('leaves no worker behind that hangs in a decoder', async () => {
    const still = path.join(scratch.path, 'HANGMEASURE.JPG');
    copyFileSync(path.join(card, 'STIL0001.JPG'), still);
    const trouble = path.join(scratch.path, 'hanging');
    const env = environment({ NODE_OPTIONS: troubles, TROUBLE_LOG: trouble });
    const words = ['audit', still, '--no-logbook', '--no-cache'];
    const child = spawn(process.execPath, [program, ...words], { env, stdio: 'ignore' });
    const opens = () => (existsSync(trouble) ? readFileSync(trouble, 'utf8').trim().split('\n') : []);
    while (opens().length < 2) await sleep(20);
    child.kill('SIGKILL');
    expect(await ends(Number(opens()[1]!.split(' ')[1]))).toBe(true);
  });
});
