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

/** The decoding that an audit of a folder has ffmpeg do, done to nothing. */
export interface DecodingCalls {
  /** Call for call as the audit makes them. */
  readonly own: readonly Call[];
  /** The same frames by what ffmpeg has for it: a jump to each. */
  readonly jumps: readonly Call[];
}

/** Listens to an audit of copies of one file. */
export function decodingCalls(
  audit: readonly string[],
  { file, clips }: { readonly file: string; readonly clips: number },
  { bin, logFile }: ListeningFfmpeg,
): DecodingCalls {
  writeFileSync(logFile, '');
  costOf(audit, { ...process.env, PATH: `${bin}:${process.env['PATH']}` });
  const calls = readFileSync(logFile, 'utf8')
    .split('\n')
    .map((line) => line.split('\x1f').slice(0, -1));
  const decoders = calls.filter((args) => args.includes('rawvideo'));
  const feeder = calls.find((args) => args.includes('nut') && args.includes('copy'));
  const seeks = decoders.filter((args) =>
    args.some((arg) => arg.endsWith('frames') || arg === '-frames:v'),
  ).length;
  // Key frames that do not fit are given up after two, and more than a few jumps follow.
  const isGivenUp = seeks > 12 * clips;
  const own: Call[] = [];
  const jumps: Call[] = [];
  for (const args of decoders) {
    const nothing = toNothing(args, file);
    if (feeder === undefined || !args.includes('pipe:0')) {
      own.push(nothing);
      jumps.push(nothing);
      continue;
    }
    const first = isGivenUp ? ['-frames:v', '2'] : [];
    const fed = [...nothing.slice(0, -3), ...first, ...nothing.slice(-3)];
    const pipe = (decoder: Call): Call => [
      '/bin/sh',
      '-c',
      `${quoted(toNothing(feeder, file))} | ${quoted(decoder)}`,
    ];
    own.push(pipe(fed));
    const times = timesOf(pipe([...fed.slice(0, -3), '-f', 'framecrc', '-']));
    jumps.push(...times.map((seconds) => jumpTo(file, seconds)));
  }
  return { own, jumps };
}

function jumpTo(file: string, seconds: number): Call {
  const reading = [
    '-threads',
    '1',
    '-nofind_stream_info',
    '-noaccurate_seek',
    '-ss',
    String(seconds),
    '-i',
    file,
  ];
  return ['ffmpeg', '-v', 'error', ...reading, '-map', '0:V:0', '-frames:v', '1', '-f', 'null', '-'];
}

function quoted(call: Call): string {
  return call.map((arg) => `'${arg.replaceAll("'", String.raw`'\''`)}'`).join(' ');
}

/** When the frames that a call writes are shown. */
function timesOf(call: Call): readonly number[] {
  const { stdout } = spawnSync(call[0]!, call.slice(1), { encoding: 'utf8' });
  const [, num, den] = /^#tb 0: (\d+)\/(\d+)$/m.exec(stdout) ?? [];
  return [...stdout.matchAll(/^0, *-?\d+, *(\d+),/gm)].map(
    ([, pts]) => (Number(pts) * Number(num)) / Number(den),
  );
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
