import { spawn } from 'node:child_process';
import { once } from 'node:events';
import path from 'node:path';
import { text } from 'node:stream/consumers';
import { setTimeout as sleep } from 'node:timers/promises';
import { afterEach, describe, expect, it, vi } from 'vitest';
import { ownProcess, OwnProcessEnded, type OwnProcess } from '../../src/programs/ownProcess.ts';
import { ends } from './alive.ts';

const program = path.join(import.meta.dirname, 'answering.mjs');
const opened: OwnProcess[] = [];
afterEach(() => {
  opened.splice(0).forEach((one) => one.end());
  vi.unstubAllEnvs();
});

function opening(script = program): OwnProcess {
  const one = ownProcess(script);
  opened.push(one);
  return one;
}

const ended = (how: string | RegExp) =>
  expect.objectContaining({ name: 'OwnProcessEnded', message: expect.stringMatching(how) as string });

describe('a process of our own', () => {
  it('answers each question with its answer, whichever comes first', async () => {
    const { ask } = opening();
    const order: unknown[] = [];
    const asked = [300, 0, 100].map(async (wait) => order.push(await ask({ do: 'wait', wait })));
    await Promise.all(asked);
    expect(order).toEqual([0, 100, 300]);
  });

  it('hands over what is plain as it was, bytes and odd numbers too', async () => {
    const value = {
      bytes: Buffer.from([0, 255, 128]),
      codes: Float32Array.of(0.1, Number.NaN, -0),
      unknown: undefined,
      list: [Number.POSITIVE_INFINITY, -0, 1n, 'ß\0'],
    };
    const answer = (await opening().ask({ do: 'echo', value })) as typeof value;
    expect(answer).toEqual(value);
    expect(Buffer.isBuffer(answer.bytes)).toBe(true);
    expect('unknown' in answer).toBe(true);
  });

  it('throws what the program threw, with the place where it did, and answers on', async () => {
    const { ask } = opening();
    const pid = await ask({ do: 'pid' });
    const thrown = await ask({ do: 'throw' }).catch((error: unknown) => error);
    expect(thrown).toMatchObject({ name: 'RangeError', message: 'asked to' });
    expect((thrown as Error).stack).toContain('answering.mjs');
    expect(await ask({ do: 'pid' })).toBe(pid);
  });

  it('that crashes leaves all questions unanswered, and the next one starts another', async () => {
    const { ask } = opening();
    const pid = await ask({ do: 'pid' });
    const slow = ask({ do: 'wait', wait: 60_000 });
    const crash = ask({ do: 'signal', signal: 'SIGSEGV' });
    await expect(crash).rejects.toEqual(ended(/^SIGSEGV$/));
    await expect(slow).rejects.toBeInstanceOf(OwnProcessEnded);
    expect(await ask({ do: 'pid' })).not.toBe(pid);
  });

  it.each([
    ['exits', { do: 'exit' }, 'exit status 7'],
    ['fails outside of an answer', { do: 'fail later' }, 'TypeError: nobody waits for this'],
    ['gives an answer that cannot be told', { do: 'function' }, /could not be cloned/],
  ])('that %s says so', async (_, question, how) => {
    await expect(opening().ask(question)).rejects.toEqual(ended(how));
  });

  it('that has no memory left says so', async () => {
    vi.stubEnv('NODE_OPTIONS', '--max-old-space-size=20');
    await expect(opening().ask({ do: 'fill memory' })).rejects.toEqual(ended(/^SIGABRT$|^exit status 134$/));
  });

  it('whose program is not there says so', async () => {
    await expect(opening('/nowhere/at-all.mjs').ask(1)).rejects.toEqual(ended('exit status 1'));
  });

  it('for which there is no program to run it says so, and is started once there is', async () => {
    const { ask } = opening();
    const node = process.execPath;
    process.execPath = '/nowhere/at-all';
    try {
      await expect(ask({ do: 'pid' })).rejects.toEqual(ended(/ENOENT/));
    } finally {
      process.execPath = node;
    }
    const pid = await ask({ do: 'pid' });
    // Nothing that comes late of the first makes it lose the second.
    await sleep(100);
    expect(await ask({ do: 'pid' })).toBe(pid);
  });

  it('is not started before it is asked, and ends when it is told to', async () => {
    const one = opening();
    const pid = (await one.ask({ do: 'pid' })) as number;
    const waiting = one.ask({ do: 'wait', wait: 60_000 });
    one.end();
    const reason = await waiting.catch((error: unknown) => error);
    expect(reason).toBeInstanceOf(Error);
    // Nothing crashed: whoever asks must not try again.
    expect(reason).not.toBeInstanceOf(OwnProcessEnded);
    expect(await ends(pid)).toBe(true);
    await expect(one.ask({ do: 'pid' })).rejects.toThrow('ended');
  });

  it('does not end by what a terminal sends to all', async () => {
    const { ask } = opening();
    const pid = (await ask({ do: 'pid' })) as number;
    for (const signal of ['SIGINT', 'SIGHUP'] as const) process.kill(pid, signal);
    await sleep(200);
    expect(await ask({ do: 'pid' })).toBe(pid);
  });

  it('ends with whoever asks, even where that is killed, and with what it started', async () => {
    const asking = path.join(import.meta.dirname, 'asking.mjs');
    const child = spawn(process.execPath, [asking, program], { stdio: ['ignore', 'pipe', 'inherit'] });
    const [chunk] = (await once(child.stdout, 'data')) as [Buffer];
    const { own, started } = JSON.parse(chunk.toString()) as Record<'own' | 'started', number>;
    child.kill('SIGKILL');
    expect(await ends(own)).toBe(true);
    expect(await ends(started)).toBe(true);
  });

  it('keeps nobody from ending who is done', async () => {
    const asking = path.join(import.meta.dirname, 'asking.mjs');
    const child = spawn(process.execPath, [asking, program, 'end'], { stdio: ['ignore', 'pipe', 'inherit'] });
    const [said, [status]] = await Promise.all([text(child.stdout), once(child, 'exit')]);
    expect(status).toBe(0);
    expect(await ends((JSON.parse(said) as { own: number }).own)).toBe(true);
  });

  it('tells the C library to keep its heaps small, unless somebody told it otherwise', async () => {
    vi.stubEnv('MALLOC_TRIM_THRESHOLD_', '12345');
    expect(await opening().ask({ do: 'environment' })).toMatchObject({
      MALLOC_ARENA_MAX: '1',
      MALLOC_MMAP_THRESHOLD_: '65536',
      MALLOC_TRIM_THRESHOLD_: '12345',
    });
  });
});
