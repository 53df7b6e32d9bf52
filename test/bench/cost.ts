import { spawnSync } from 'node:child_process';

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
