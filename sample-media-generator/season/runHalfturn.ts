import { execFile } from 'node:child_process';

export interface Installed {
  readonly home: string;
  /** The script that `halfturn` runs. */
  readonly program: string;
}

interface Ran {
  readonly stdout: string;
  readonly stderr: string;
  readonly status: number;
}

/** In a home of its own: nobody's settings or logbook may be touched or matter. */
export function runHalfturn({ home, program }: Installed, words: readonly string[]): Promise<Ran> {
  const env = { PATH: process.env['PATH'] ?? '', HOME: home, NO_COLOR: '1', TZ: 'UTC' };
  return new Promise((resolve) => {
    execFile(
      process.execPath,
      [program, ...words],
      { cwd: home, env, maxBuffer: 1 << 26 },
      (error, ...said) =>
        resolve({ stdout: said[0], stderr: said[1], status: error === null ? 0 : Number(error.code) }),
    );
  });
}
