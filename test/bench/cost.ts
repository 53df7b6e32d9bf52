import { spawn, spawnSync } from 'node:child_process';
import { once } from 'node:events';
import { readFileSync } from 'node:fs';

/** What a command and all that it started used. */
export interface Cost {
  readonly cpuSeconds: number;
  readonly wallSeconds: number;
}

/** Runs a command to its end. Linux and macOS: the shell counts what its children and theirs used. */
export function costOf(command: readonly string[], environment: NodeJS.ProcessEnv = process.env): Cost {
  const script = '"$@" >/dev/null; status=$?; times; exit $status';
  const startMs = performance.now();
  const { stdout, stderr, status } = spawnSync('/bin/sh', ['-c', script, 'sh', ...command], {
    encoding: 'utf8',
    env: environment,
    maxBuffer: 1 << 26,
  });
  const wallSeconds = (performance.now() - startMs) / 1000;
  if (status !== 0) throw new Error(`${command.join(' ')}: ${stderr.slice(-400)}`);
  // "0m1.250s 0m0.310s": the second line is that of the children.
  const ofChildren = stdout.trim().split('\n').at(-1)!;
  const cpuSeconds = [...ofChildren.matchAll(/(\d+)m([\d.]+)s/g)].reduce(
    (sum, [, minutes, rest]) => sum + 60 * Number(minutes) + Number(rest),
    0,
  );
  return { cpuSeconds, wallSeconds };
}

/**
 * Of a command and all that it starts, at one time; pages that several share are counted once (`Pss`, see proc(5)).
 * @throws where it fails, or runs for longer than `longestMs`
 */
export async function peakMegabytes(command: readonly string[], longestMs?: number): Promise<number> {
  const child = spawn(command[0]!, command.slice(1), {
    stdio: ['ignore', 'ignore', 'inherit'],
    timeout: longestMs,
  });
  const ended = once(child, 'close') as Promise<[number | null, NodeJS.Signals | null]>;
  let peak = 0;
  const timer = setInterval(() => (peak = Math.max(peak, megabytesOf(child.pid!))), 200);
  const [status, signal] = await ended;
  clearInterval(timer);
  if (status !== 0) throw new Error(`${command.join(' ')}: ended with ${status ?? signal}`);
  return peak;
}

function megabytesOf(pid: number): number {
  try {
    const own = /^Pss: +(\d+)/m.exec(readFileSync(`/proc/${pid}/smaps_rollup`, 'latin1'))?.[1];
    const children = readFileSync(`/proc/${pid}/task/${pid}/children`, 'latin1').trim().split(' ');
    return (
      Number(own ?? 0) / 1024 +
      children.filter(Boolean).reduce((sum, each) => sum + megabytesOf(Number(each)), 0)
    );
  } catch {
    return 0; // It ended meanwhile.
  }
}
