import { execFileSync } from 'node:child_process';
import { chmodSync, existsSync, mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { programPath } from '../renderMedia.ts';

/** ffmpeg and ffprobe of this system in a folder for the search path, which write down each start. */
export interface CountedPrograms {
  readonly folder: string;
  /** Starts since the last call. */
  readonly starts: () => number;
  /** As long as this file is there, every program kills itself. */
  readonly crashFlag: string;
}

export function countedPrograms(scratch: string): CountedPrograms {
  const folder = path.join(scratch, 'programs');
  const log = path.join(scratch, 'starts.log');
  const crashFlag = path.join(scratch, 'crash');
  mkdirSync(folder);
  for (const name of ['ffmpeg', 'ffprobe'] as const) {
    const real = programPath(name);
    // Said without a start, so that no packaged build is taken because it starts faster.
    const answer = path.join(folder, `${name}.version`);
    writeFileSync(answer, execFileSync(real, ['-version']));
    const script = `#!/bin/sh\necho ${name} >> '${log}'\n[ "$1" = -version ] && exec cat '${answer}'\n[ -e '${crashFlag}' ] && kill -9 $$\nexec '${real}' "$@"\n`;
    writeFileSync(path.join(folder, name), script);
    chmodSync(path.join(folder, name), 0o755);
  }
  return {
    folder,
    crashFlag,
    starts: () => {
      const lines = existsSync(log) ? readFileSync(log, 'utf8').split('\n').length - 1 : 0;
      rmSync(log, { force: true });
      return lines;
    },
  };
}
