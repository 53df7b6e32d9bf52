import { readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { afterAll, expect, test } from 'vitest';
import { HalfturnError } from '../../src/domain/halfturnError.ts';
import { mediaArgument, runProgram, streamProgram, type Program } from '../../src/programs/run.ts';
import { openMedia } from '../../src/programs/openMedia.ts';
import { scratchFolder } from '../reading/madeMedia.ts';
import { ends } from './alive.ts';

const shell: Program = { name: 'ffmpeg', path: '/bin/sh', version: 'test', origin: 'system' };
const limits = { program: shell, wallMs: 20_000, stdoutBytes: 1 << 20, stderrBytes: 1024 };
const folder = await scratchFolder();
afterAll(() => folder.remove());

test('runProgram() gives output, complaints and exit status', async () => {
  const run = await runProgram({ ...limits, args: ['-c', 'echo out; echo err >&2; exit 3'] });
  expect(run).toMatchObject({ stderr: 'err\n', exitCode: 3, ended: 'exit' });
  expect(run.stdout.toString()).toBe('out\n');
});

test('a program that hangs is killed with its children, even where they ignore SIGTERM', async () => {
  const script = 'trap "" TERM; sh -c \'trap "" TERM; echo $$; sleep 60\'; sleep 60';
  const run = await runProgram({ ...limits, args: ['-c', script], wallMs: 500 });
  expect(run).toMatchObject({ ended: 'time-out', exitCode: null });
  expect(await ends(Number(run.stdout.toString()))).toBe(true);
});

test('a program that answers without end is stopped at the limit', async () => {
  const run = await runProgram({ ...limits, args: ['-c', 'yes'], stdoutBytes: 100_000 });
  expect(run.ended).toBe('output-limit');
  expect(run.stdout.length).toBe(100_000);
});

test('complaints beyond their limit are thrown away without ending the program', async () => {
  const run = await runProgram({ ...limits, args: ['-c', 'yes | head -c 500000 >&2; echo done'] });
  expect(run.ended).toBe('exit');
  expect(run.stderr.length).toBe(1024);
  expect(run.stdout.toString()).toBe('done\n');
});

test('a program that dies by a signal of its own counts as crashed', async () => {
  const run = await runProgram({ ...limits, args: ['-c', 'kill -SEGV $$'] });
  expect(run).toMatchObject({ ended: 'crash', exitCode: null });
});

test('a program that is not there is an error with a sentence', async () => {
  const program = { ...shell, path: join(folder.path, 'nothing') };
  await expect(runProgram({ ...limits, program, args: [] })).rejects.toThrow(HalfturnError);
});

test('a consumer that stops early ends the program', async () => {
  let pid = 0;
  for await (const chunk of streamProgram({ ...limits, args: ['-c', 'echo $$; exec sleep 60'] })) {
    pid = Number(chunk.toString());
    break;
  }
  expect(pid).toBeGreaterThan(0);
  expect(await ends(pid)).toBe(true);
});

async function* pieces(...texts: string[]): AsyncGenerator<Buffer> {
  for (const text of texts) yield await Promise.resolve(Buffer.from(text));
}

test('an input is what the program reads', async () => {
  const run = await runProgram({
    ...limits,
    args: ['-c', 'sed s/^/well-/'],
    input: pieces('fe', 'd\n', 'met\n'),
  });
  expect(run).toMatchObject({ exitCode: 0, ended: 'exit' });
  expect(run.stdout.toString()).toBe('well-fed\nwell-met\n');
});

test('a program is not fed faster than it reads, and one that wants no more ends the feeding', async () => {
  let fed = 0;
  let ended = false;
  async function* endless(): AsyncGenerator<Buffer> {
    try {
      for (;;) {
        fed += 65_536;
        yield await Promise.resolve(Buffer.alloc(65_536, 'y\n'));
      }
    } finally {
      ended = true;
    }
  }
  const run = await runProgram({ ...limits, args: ['-c', 'head -n 1; sleep 1'], input: endless() });
  expect(run).toMatchObject({ ended: 'exit', exitCode: 0 });
  expect(run.stdout.toString()).toBe('y\n');
  expect(fed).toBeLessThan(2_000_000);
  expect(ended).toBe(true);
});

test('an input that fails ends the feeding; what came out until then stands', async () => {
  async function* failing(): AsyncGenerator<Buffer> {
    yield await Promise.resolve(Buffer.from('line\n'));
    throw new Error('the disk is gone');
  }
  const run = await runProgram({ ...limits, args: ['-c', 'cat'], input: failing() });
  expect(run.stdout.toString()).toBe('line\n');
});

test('streamProgram() lets the program wait while the consumer does', async () => {
  const counter = join(folder.path, 'written');
  const script = `i=0; while [ $i -lt 40 ]; do head -c 65536 /dev/zero; i=$((i+1)); echo $i > '${counter}'; done`;
  const stream = streamProgram({ ...limits, args: ['-c', script], stdoutBytes: 1 << 30 });
  await stream.next();
  await new Promise((resolve) => setTimeout(resolve, 500));
  expect(Number(await readFile(counter, 'utf8'))).toBeLessThan(20);
  let bytes = 65_536;
  for await (const chunk of stream) bytes += chunk.length;
  expect(bytes).toBeGreaterThanOrEqual(39 * 65_536);
});

test('an abort signal ends the program and is passed on', async () => {
  const run = runProgram({ ...limits, args: ['-c', 'sleep 60'], signal: AbortSignal.timeout(200) });
  await expect(run).rejects.toThrow(/timeout|abort/i);
});

test.runIf(process.platform === 'linux')(
  'the child reads the file by its descriptor, whatever its name',
  async () => {
    const file = join(folder.path, 'a\nb %d -x.txt');
    await writeFile(file, 'inside');
    const media = await openMedia(file);
    const path = mediaArgument(media).replace('file:', '');
    const run = await runProgram({ ...limits, args: ['-c', `cat ${path}`], media });
    await media.close();
    expect(run.stdout.toString()).toBe('inside');
  },
);

test.runIf(process.platform === 'linux')('the limit of memory is in force in the child', async () => {
  const limited = await runProgram({ ...limits, args: ['-c', 'ulimit -v'], memoryKiB: 700_000 });
  const unlimited = await runProgram({ ...limits, args: ['-c', 'ulimit -v'] });
  expect(limited.stdout.toString()).toBe('700000\n');
  expect(unlimited.stdout.toString()).not.toBe('700000\n');
});

test('packaged programs are kept from loading the converters that crash them', async () => {
  const args = ['-c', 'echo "$GCONV_PATH $LC_ALL $HOME"'];
  const bundled = await runProgram({ ...limits, program: { ...shell, origin: 'bundled' }, args });
  const system = await runProgram({ ...limits, args });
  expect(bundled.stdout.toString()).toBe('/nonexistent C.UTF-8 \n');
  expect(system.stdout.toString()).toBe(' C.UTF-8 \n');
});

test.runIf(process.platform === 'linux')('where no more files can be opened, that is said', async () => {
  const code = `
    import { openSync } from 'node:fs';
    import { runProgram } from '${join(import.meta.dirname, '../../src/programs/run.ts')}';
    const program = { name: 'ffmpeg', path: '/bin/sh', version: 'test', origin: 'system' };
    const run = () => runProgram({ program, args: ['-c', 'exit 0'], wallMs: 9000, stdoutBytes: 99, stderrBytes: 99 });
    await run();
    try { for (;;) openSync('/dev/null'); } catch {}
    await run().catch(({ name, message }) => process.stdout.write(name + ': ' + message));
  `;
  const script = join(folder.path, 'full.mts');
  await writeFile(script, code);
  const said = await runProgram({
    ...limits,
    args: ['-c', 'ulimit -n 60; exec "$@"', 'sh', process.execPath, '--import', 'tsx', script],
  });
  expect(said.stdout.toString()).toMatch(
    /^HalfturnError: ffmpeg could not be started.*too many files are open/,
  );
});
