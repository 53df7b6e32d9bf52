import { fork, spawn, type ChildProcess } from 'node:child_process';
import { setFlagsFromString } from 'node:v8';

// Programs of our own, run by the Node that runs us.

/**
 * Pictures leave holes of all sizes in the heaps of the C library. With one heap for all threads, which gives back what
 * is free at its end and takes all that is large from the system, glibc keeps few of them. See mallopt(3): it looks
 * only once, before Node runs a line, and other C libraries do not look.
 */
const smallHeaps = {
  MALLOC_ARENA_MAX: '1',
  MALLOC_MMAP_THRESHOLD_: String(64 << 10),
  MALLOC_TRIM_THRESHOLD_: String(128 << 10),
};

/** Starts a script that exchanges messages with us; what is plain arrives as it was sent. */
export function forkScript(script: string): ChildProcess {
  return fork(script, {
    env: { ...smallHeaps, ...process.env },
    serialization: 'advanced',
    // What a crash prints would stand among what we print.
    stdio: ['ignore', 'ignore', 'ignore', 'ipc'],
  });
}

/**
 * Runs a script and gives back the whole lines that it said by its end, or within the time.
 *
 * A script that is stuck inside the system does not end when it is killed; it is not waited for.
 */
export function linesWithin(
  script: string,
  args: readonly string[],
  wallMs: number,
): Promise<readonly string[]> {
  const child = spawn(process.execPath, [script, ...args], {
    stdio: ['ignore', 'pipe', 'ignore'],
    windowsHide: true,
    // Each request that is stuck takes one of four threads, and there may be more volumes than that.
    env: { ...process.env, UV_THREADPOOL_SIZE: '64' },
  });
  let output = '';
  child.stdout.setEncoding('utf8').on('data', (text: string) => (output += text));
  return new Promise((resolve) => {
    const finish = (): void => {
      clearTimeout(timer);
      child.kill('SIGKILL');
      child.stdout.destroy();
      child.unref();
      resolve(output.split('\n').slice(0, -1));
    };
    const timer = setTimeout(finish, wallMs);
    child.once('close', finish).once('error', finish);
  });
}

/**
 * Has V8 drop what one clip left behind before much of the next is read. By itself it waits for four times as much, and
 * lets the space of what is new grow to tens of megabytes, how many depending on its version.
 */
export function keepHeapSmall(): void {
  setFlagsFromString('--heap-growing-percent=50');
  setFlagsFromString('--semi-space-growth-factor=1');
}
