import { spawnSync } from 'node:child_process';
import { chmodSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { costOf } from './cost.ts';

/** A call of ffmpeg as it was made, argument by argument. */
type Call = readonly string[];

/** An ffmpeg that writes down how it was called before it becomes the real one. */
export interface ListeningFfmpeg {
  readonly bin: string;
  readonly logFile: string;
}

export function listeningFfmpeg(folder: string): ListeningFfmpeg {
  const bin = path.join(folder, 'bin');
  const logFile = path.join(folder, 'ffmpeg-calls');
  mkdirSync(bin);
  const real = spawnSync('/bin/sh', ['-c', 'command -v ffmpeg'], { encoding: 'utf8' }).stdout.trim();
  const script = path.join(bin, 'ffmpeg');
  const writeDown = `printf '%s\\037' "$@" >> '${logFile}'; echo >> '${logFile}'`;
  writeFileSync(script, `#!/bin/sh\n${writeDown}\nexec ${real} "$@"\n`);
  chmodSync(script, 0o755);
  return { bin, logFile };
}

/** The calls that an audit of a folder makes of ffmpeg to decode, each as the same decoding of `file` to nothing. */
export function decodingCalls(
  audit: readonly string[],
  { file, clips }: { readonly file: string; readonly clips: number },
  { bin, logFile }: ListeningFfmpeg,
): readonly Call[] {
  writeFileSync(logFile, '');
  costOf(audit, { ...process.env, PATH: `${bin}:${process.env['PATH']}` });
  const calls = readFileSync(logFile, 'utf8')
    .split('\n')
    .map((line) => line.split('\x1f').slice(0, -1))
    .filter((args) => args.includes('rawvideo'));
  const jumps = calls.filter((args) =>
    args.some((arg) => arg.endsWith('frames') || arg === '-frames:v'),
  ).length;
  return calls.map((args) => {
    // Key frames that lie too close together are given up after two, and more than a few jumps follow.
    const givenUp = args.includes('nokey') && jumps > 12 * clips ? ['-frames:v', '2'] : [];
    const nothing = toNothing(args, file);
    return [...nothing.slice(0, -3), ...givenUp, ...nothing.slice(-3)];
  });
}

function toNothing(args: Call, file: string): Call {
  const out: string[] = ['ffmpeg'];
  for (let i = 0; i < args.length; i++) {
    const [name, value] = [args[i]!, args[i + 1] ?? ''];
    if (name === '-filter:v' || name === '-vf') {
      // Only what picks frames stays; converting and shrinking are part of what is compared.
      const select = /select='[^']*'|select=[^,]*/.exec(value)?.[0];
      if (select !== undefined) out.push(name, `settb=AVTB,${select}`);
      i++;
    } else if (name === '-pix_fmt') i++;
    else if (name === 'rawvideo') out.push('null');
    else if (name === 'pipe:1') out.push('-');
    else out.push(name === 'file:/proc/self/fd/3' ? file : name === 'info' ? 'error' : name);
  }
  return out;
}
