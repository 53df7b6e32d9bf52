import {
  appendFileSync,
  chmodSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from 'node:fs';
import { spawnSync } from 'node:child_process';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { makeClip } from './benchClips.ts';
import { isQuick, reportRatio } from './ratios.ts';

// What measuring costs, as ratios of CPU seconds within one run; run it with `npx tsx test/bench/measuringBench.ts`
// after `npm run build`. Wall time says little on a machine that does other things too. Linux only (POSIX `times`,
// /proc). It makes its own clips in a temporary folder: some minutes and 1 GB.

const root = path.resolve(import.meta.dirname, '../..');
const folder = mkdtempSync(path.join(tmpdir(), 'halfturn-bench-'));
const logFile = path.join(folder, 'ffmpeg-calls.jsonl');

/** CPU seconds of a command and all that it started. */
function cpuSeconds(command: readonly string[], environment: NodeJS.ProcessEnv = process.env): number {
  // The second line of `times` is that of the shell's children.
  const script = '"$@" >/dev/null 2>"$BENCH_ERRORS"; times';
  const errors = path.join(folder, 'errors.txt');
  const { stdout, status } = spawnSync('/bin/sh', ['-c', script, 'sh', ...command], {
    encoding: 'utf8',
    env: { ...environment, BENCH_ERRORS: errors },
    maxBuffer: 1 << 26,
  });
  const children = stdout.trim().split('\n').at(-1)!;
  if (status !== 0) throw new Error(`${command.join(' ')}: ${readFileSync(errors, 'utf8').slice(-400)}`);
  return [...children.matchAll(/(\d+)m([\d.]+)s/g)].reduce(
    (sum, [, m, s]) => sum + 60 * Number(m) + Number(s),
    0,
  );
}

/** A folder with an ffmpeg that writes down how it was called before it becomes the real one. */
function recordingFfmpeg(): string {
  const bin = path.join(folder, 'bin');
  mkdirSync(bin);
  const real = spawnSync('/bin/sh', ['-c', 'command -v ffmpeg'], { encoding: 'utf8' }).stdout.trim();
  const script = path.join(bin, 'ffmpeg');
  const quoted = `printf '%s\\037' "$@" >> '${logFile}'; echo >> '${logFile}'`;
  writeFileSync(script, `#!/bin/sh\n${quoted}\nexec ${real} "$@"\n`);
  chmodSync(script, 0o755);
  return bin;
}

const halfturn = [process.execPath, path.join(root, 'bin', 'halfturn.js')];

/** Daylight and a recorded shutter: what is measured then is the picture, and not the shutter from its blur. */
const telemetry =
  '1\n00:00:00,000 --> 00:59:59,000\nISO 100, Shutter speed 1/800 s, Aperture f/2.8, Metered offset +0.0 EV\n';

function auditCommand(dump: string, ...more: readonly string[]): readonly string[] {
  return [...halfturn, 'audit', dump, '--quiet', '--no-logbook', '--no-cache', ...more];
}

/** The calls that an audit makes of ffmpeg to decode, as the same decoding to nothing. */
function decodingCalls(
  dump: string,
  clips: number,
  fileOf: (call: number) => string,
  bin: string,
): readonly (readonly string[])[] {
  writeFileSync(logFile, '');
  cpuSeconds(auditCommand(dump), { ...process.env, PATH: `${bin}:${process.env['PATH']}` });
  const calls = readFileSync(logFile, 'utf8')
    .split('\n')
    .map((line) => line.split('\x1f').slice(0, -1))
    .filter((args) => args.includes('rawvideo'));
  const jumps = calls.filter((args) =>
    args.some((arg) => arg.endsWith('frames') || arg === '-frames:v'),
  ).length;
  return calls.map((args, call) => {
    // Key frames that lie too close together are given up after three, and more than a few jumps follow.
    const givenUp = args.includes('nokey') && jumps > 12 * clips ? ['-frames:v', '3'] : [];
    const nothing = toNothing(args, fileOf(call));
    return [...nothing.slice(0, -3), ...givenUp, ...nothing.slice(-3)];
  });
}

function toNothing(args: readonly string[], file: string): readonly string[] {
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

function say(...columns: readonly (string | number)[]): void {
  console.log(columns.map((text) => (typeof text === 'number' ? text.toFixed(2) : text)).join('  '));
}

/** Of a folder with clips that are all the same. */
function cost(
  file: string,
  { dump, clips }: { readonly dump: string; readonly clips: number },
  bin: string,
): { readonly audit: number; readonly reading: number; readonly decoding: number } {
  const calls = decodingCalls(dump, clips, () => file, bin);
  // Halves before and after, so that a machine that gets busier in between is fair to both.
  const first = cpuSeconds(auditCommand(dump));
  const decoding = calls.reduce((sum, call) => sum + cpuSeconds(call), 0);
  const second = cpuSeconds(auditCommand(dump));
  return {
    audit: (first + second) / 2,
    reading: cpuSeconds(auditCommand(dump, '--measure', 'off')),
    decoding,
  };
}

/** Whether any frame of a clip has more than a hundredth of its area at 98 % of the nominal peak (231 of 8 bits). */
function statisticsFlag(file: string): boolean {
  const filters = "lutyuv=y='255*gte(val,231)',signalstats,metadata=print:key=lavfi.signalstats.YAVG:file=-";
  const { stdout } = spawnSync('ffmpeg', ['-v', 'error', '-i', file, '-vf', filters, '-f', 'null', '-'], {
    encoding: 'utf8',
    maxBuffer: 1 << 26,
  });
  const means = [...stdout.matchAll(/YAVG=([\d.]+)/g)].map(([, mean]) => Number(mean) / 255);
  if (means.length === 0) throw new Error(`no statistics of ${file}`);
  return means.some((share) => share > 0.01);
}

function auditFlags(file: string): boolean {
  const [node, ...rest] = [...halfturn, 'audit', dumpOf(file, 1), '--json', '--no-logbook', '--no-cache'];
  const { stdout } = spawnSync(node!, rest, { encoding: 'utf8', maxBuffer: 1 << 26 });
  const { recordings } = JSON.parse(stdout) as {
    readonly recordings: readonly { readonly findings: readonly { readonly kind: string }[] }[];
  };
  return recordings[0]!.findings.some(({ kind }) => kind === 'highlights-clipped');
}

/** A dump of the same clip many times over, by links to its content. */
function dumpOf(file: string, count: number, isRecorded = true): string {
  const dump = path.join(folder, `${path.basename(file, '.mp4')}-times-${count}${isRecorded ? '' : '-bare'}`);
  if (existsSync(dump)) return dump;
  mkdirSync(dump);
  for (let i = 0; i < count; i++) {
    const copy = path.join(dump, `CLIP${String(i).padStart(4, '0')}.MP4`);
    // Copies of one recording are audited once: a free box at the end makes each another file of another length.
    spawnSync('cp', ['--reflink=auto', file, copy]);
    const box = Buffer.alloc(8 + i);
    box.writeUInt32BE(box.length);
    box.write('free', 4, 'latin1');
    appendFileSync(copy, box);
    if (isRecorded) writeFileSync(copy.replace(/MP4$/, 'SRT'), telemetry);
  }
  return dump;
}

/** Peak memory in MB of the Node process alone. */
function nodePeakMegabytes(dump: string): number {
  const preload = path.join(folder, 'peak.mjs');
  writeFileSync(
    preload,
    `process.on('exit', () => process.stderr.write('PEAK ' + process.resourceUsage().maxRSS / 1024 + '\\n'));`,
  );
  const [node, ...rest] = auditCommand(dump);
  const { stderr } = spawnSync(node!, ['--import', preload, ...rest], { encoding: 'utf8' });
  return Number(/PEAK ([\d.]+)/.exec(stderr)?.[1]);
}

try {
  const bin = recordingFfmpeg();
  const wanted = new Set(process.argv.slice(2));
  const runs = (name: string): boolean => wanted.size === 0 || wanted.has(name);
  if (runs('decode')) {
    say(
      'audit / decoding the same frames to nothing (at most 1.3); then without the cost of reading, which is fixed',
    );
    const auditSeconds = new Map<string, number>();
    const lengths = [
      ['h264', 30],
      ['h264', 60],
      ['h264', 120],
      ['h264', 600],
      ['hevc', 30],
      ['hevc', 120],
      ['hevc', 600],
    ] as const;
    for (const [codec, seconds] of lengths) {
      if (isQuick && seconds > 60) continue;
      const file = makeClip(folder, codec, seconds);
      const clips = seconds > 60 ? 1 : 4;
      const { audit, reading, decoding } = cost(file, { dump: dumpOf(file, clips), clips }, bin);
      say(
        `4K ${codec} ${seconds} s, ${clips} clips`,
        `audit ${audit.toFixed(2)} s, decoding ${decoding.toFixed(2)} s:`,
        audit / decoding,
        (audit - reading) / decoding,
      );
      auditSeconds.set(`${codec} ${seconds}`, audit / clips);
      reportRatio({
        what: `measuring 4K ${codec} of ${seconds} s / decoding the same frames to nothing, CPU`,
        measured: audit / decoding,
        atMost: 1.3,
        note: `${((audit - reading) / decoding).toFixed(2)} without what reading costs`,
      });
    }
    const [minute, ten] = [auditSeconds.get('h264 60'), auditSeconds.get('h264 600')];
    reportRatio({
      what: 'audit of a clip of 600 s / of 60 s, CPU',
      measured: minute !== undefined && ten !== undefined ? ten / minute : undefined,
      atMost: 10,
      ...(ten === undefined ? { note: 'left out by --quick' } : {}),
    });
  }
  if (runs('whole')) {
    const file = makeClip(folder, 'h264', 120);
    const filter = ['ffmpeg', '-v', 'error', '-i', file, '-vf', 'signalstats', '-f', 'null', '-'];
    const whole = cpuSeconds(filter);
    reportRatio({
      what: 'signalstats over the whole of 120 s of 4K / audit, CPU',
      measured: whole / cpuSeconds(auditCommand(dumpOf(file, 1))),
      atLeast: 20,
      digits: 1,
    });
    const clips = [file, makeClip(folder, 'hd', 10, 'third')];
    reportRatio({
      what: 'clips on which the audit and the statistics of every frame agree that highlights are clipped or not',
      measured: clips.filter((clip) => statisticsFlag(clip) === auditFlags(clip)).length / clips.length,
      atLeast: 1,
      note: clips.map((clip) => (statisticsFlag(clip) ? 'one that clips' : 'one that does not')).join(', '),
    });
  }
  if (runs('memory')) {
    const file = makeClip(folder, 'hd', 10);
    const peaks = [1, 10, 60].map((count) => ({
      what: `${count} clips`,
      peak: nodePeakMegabytes(dumpOf(file, count)),
    }));
    if (!isQuick)
      peaks.push({
        what: 'one of 600 s of 4K',
        peak: nodePeakMegabytes(dumpOf(makeClip(folder, 'h264', 600), 1)),
      });
    peaks.push({
      what: '4 clips of 4K whose shutter is told from the motion blur',
      peak: nodePeakMegabytes(dumpOf(makeClip(folder, 'h264', 30), 4, false)),
    });
    for (const { what, peak } of peaks)
      reportRatio({
        what: `peak memory of the Node process, ${what}`,
        measured: peak,
        atMost: 250,
        unit: 'MB',
        digits: 0,
      });
    const short = makeClip(folder, 'hd', 1);
    const [few, many] = [10, isQuick ? 100 : 1000];
    const [peakOfFew, peakOfMany] = [few, many].map((count) => nodePeakMegabytes(dumpOf(short, count)));
    reportRatio({
      what: `peak memory with ${many} clips / with ${few}`,
      measured: peakOfMany! / peakOfFew!,
      note: `${peakOfMany!.toFixed(0)} against ${peakOfFew!.toFixed(0)} MB, clips of 1 s`,
    });
  }
} finally {
  rmSync(folder, { recursive: true, force: true });
}
