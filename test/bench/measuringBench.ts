import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { spawnSync } from 'node:child_process';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { makeClip, type BenchCodec } from './benchClips.ts';
import { dumpOf, type Recorded } from './benchDumps.ts';
import { costOf } from './cost.ts';
import { decodingCalls, listeningFfmpeg, type ListeningFfmpeg } from './decodingCalls.ts';
import { atSize, reportRatio } from './ratios.ts';

// tsx test/bench/measuringBench.ts [decode] [whole] [memory]      all where none is named
//
// What measuring costs, as ratios of processor seconds within one run: wall time says little on a machine that does
// other things too. Linux only, after "npm run build". Makes its clips in a temporary folder: some minutes and 8 GB.

const folder = mkdtempSync(path.join(tmpdir(), 'halfturn-bench-'));
const halfturn = [process.execPath, path.resolve(import.meta.dirname, '../../bin/halfturn.js')];

function auditCommand(dump: string, ...more: readonly string[]): readonly string[] {
  return [...halfturn, 'audit', dump, '--quiet', '--no-logbook', '--no-cache', ...more];
}

const cpuSeconds = (command: readonly string[]): number => costOf(command).cpuSeconds;

/** Of a folder with clips that are all the same. */
function cost(
  dump: string,
  clip: { readonly file: string; readonly clips: number },
  ffmpeg: ListeningFfmpeg,
) {
  const calls = decodingCalls(auditCommand(dump), clip, ffmpeg);
  // Halves before and after, so that a machine that gets busier in between is fair to both.
  const first = cpuSeconds(auditCommand(dump));
  const total = (list: readonly (readonly string[])[]): number =>
    list.reduce((sum, call) => sum + cpuSeconds(call), 0);
  const [decoding, ownDecoding] = [total(calls.jumps), total(calls.own)];
  const second = cpuSeconds(auditCommand(dump));
  return {
    audit: (first + second) / 2,
    reading: cpuSeconds(auditCommand(dump, '--measure', 'off')),
    decoding,
    ownDecoding,
  };
}

// Ten minutes at the rate of a camera would fill 7 GB; how the cost grows with length does not depend on the rate.
const decoded: readonly (readonly [codec: BenchCodec, seconds: number, Recorded])[] = [
  ['h264', 30, 'one shutter'],
  ['hevc', 30, 'one shutter'],
  ...atSize<typeof decoded>({
    quick: [],
    usual: [
      ['h264', 120, 'one shutter'],
      ['h264', 120, 'nothing'],
      ['hevc', 120, 'one shutter'],
      ['h264-light', 600, 'one shutter'],
    ],
  }),
  ['h264-light', 60, 'one shutter'],
];

function benchDecoding(): void {
  const ffmpeg = listeningFfmpeg(folder);
  const auditSeconds = new Map<string, number>();
  for (const [codec, seconds, recorded] of decoded) {
    const file = makeClip(folder, codec, seconds, viewFor(recorded));
    const clips = seconds > 60 ? 1 : 4;
    const dump = dumpOf({ folder, file, count: clips, recorded });
    const { audit, reading, decoding, ownDecoding } = cost(dump, { file, clips }, ffmpeg);
    auditSeconds.set(`${codec} ${seconds}`, audit / clips);
    reportRatio({
      what: `measuring 4K ${codec} of ${seconds} s${inWords(recorded)} / decoding the same frames to nothing, a jump to each, CPU`,
      measured: audit / decoding,
      // What no camera writes has no goal: start-up and the pipe weigh most there.
      atMost: codec.endsWith('-light') ? undefined : 1.3,
      note: `${audit.toFixed(2)} against ${decoding.toFixed(2)} s; ${((audit - reading) / decoding).toFixed(2)} without what reading costs`,
    });
    reportRatio({
      what: `  and against the cheaper way in which the audit itself decodes them`,
      measured: audit / ownDecoding,
      atMost: codec.endsWith('-light') ? undefined : 1.3,
      note: `${ownDecoding.toFixed(2)} s`,
    });
  }
  const [minute, ten] = [auditSeconds.get('h264-light 60'), auditSeconds.get('h264-light 600')];
  reportRatio({
    what: 'audit of a clip of 600 s / of 60 s, CPU',
    measured: minute !== undefined && ten !== undefined ? ten / minute : undefined,
    atMost: 10,
    note: ten === undefined ? 'left out by --quick' : undefined,
  });
}

/** Where the shutter is to be told from the motion blur, there must be some. */
function viewFor(recorded: Recorded): 'bright' | 'swept' {
  return recorded === 'nothing' ? 'swept' : 'bright';
}

function inWords(recorded: Recorded): string {
  return recorded === 'nothing' ? ', shutter from the motion blur' : '';
}

function benchWhole(): void {
  const seconds = atSize({ quick: 30, usual: 120 });
  const file = makeClip(folder, 'h264', seconds);
  for (const recorded of ['one shutter', 'nothing'] as const) {
    const clip = makeClip(folder, 'h264', seconds, viewFor(recorded));
    const everyFrame = ['ffmpeg', '-v', 'error', '-i', clip, '-vf', 'signalstats', '-f', 'null', '-'];
    const statistics = cpuSeconds(everyFrame);
    const audit = cpuSeconds(auditCommand(dumpOf({ folder, file: clip, count: 1, recorded })));
    reportRatio({
      what: `signalstats over the whole of ${seconds} s of 4K / audit${inWords(recorded)}, CPU`,
      measured: statistics / audit,
      ...atSize({ quick: {}, usual: { atLeast: 20 } }),
      digits: 1,
      note: `${statistics.toFixed(1)} against ${audit.toFixed(1)} s`,
    });
  }
  const clips = [file, makeClip(folder, 'hd', 10, 'third')];
  const verdicts = clips.map((clip) => ({ ours: auditFlags(clip), theirs: statisticsFlag(clip) }));
  reportRatio({
    what: 'clips on which the audit and the statistics of every frame agree that highlights are clipped or not',
    measured: verdicts.filter(({ ours, theirs }) => ours === theirs).length / clips.length,
    atLeast: 1,
    note: verdicts.map(({ theirs }) => (theirs ? 'one that clips' : 'one that does not')).join(', '),
  });
}

/** Whether any frame of a clip has more than a hundredth of its area at 98% of the nominal peak (231 of 8 bits). */
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
  const [node, ...words] = auditCommand(dumpOf({ folder, file, count: 1 }), '--json');
  const { stdout } = spawnSync(node!, words, { encoding: 'utf8', maxBuffer: 1 << 26 });
  const { recordings } = JSON.parse(stdout) as {
    readonly recordings: readonly { readonly findings: readonly { readonly kind: string }[] }[];
  };
  return recordings[0]!.findings.some(({ kind }) => kind === 'highlights-clipped');
}

function benchMemory(): void {
  const hd = makeClip(folder, 'hd', 10);
  const uhd = makeClip(folder, 'h264', 30, viewFor('nothing'));
  const light = makeClip(folder, 'small', 600);
  const dumps = [
    ['1 clip', { file: hd, count: 1 }],
    ['60 clips', { file: hd, count: 60 }],
    [
      '4 clips of 4K whose shutter is told from the motion blur',
      { file: uhd, count: 4, recorded: 'nothing' },
    ],
    ['1 clip of 600 s, recorded for every frame', { file: light, count: 1, recorded: 'every frame' }],
    ['20 clips of 600 s, recorded for every frame', { file: light, count: 20, recorded: 'every frame' }],
  ] as const;
  for (const [what, dump] of dumps) reportPeak(what, nodePeakMegabytes(dumpOf({ folder, ...dump })));
  const short = makeClip(folder, 'small', 1);
  const [few, many] = [10, atSize({ quick: 100, usual: 1000 })];
  const [peakOfFew, peakOfMany] = [few, many].map((count) =>
    nodePeakMegabytes(dumpOf({ folder, file: short, count })),
  ) as [number, number];
  reportPeak(`${many} clips`, peakOfMany);
  reportRatio({
    what: `peak memory with ${many} clips / with ${few}`,
    measured: peakOfMany / peakOfFew,
    note: `${peakOfMany.toFixed(0)} against ${peakOfFew.toFixed(0)} MB, clips of 1 s`,
  });
}

function reportPeak(what: string, megabytes: number): void {
  reportRatio({
    what: `peak memory of both Node processes with the whole report, one added to the other, ${what}`,
    measured: megabytes,
    atMost: 250,
    unit: 'MB',
    digits: 0,
  });
}

/** The peaks of all Node processes added up, though they come at different times; with the page and its pictures. */
function nodePeakMegabytes(dump: string): number {
  const preload = path.join(folder, 'peak.mjs');
  const peaks = path.join(folder, 'peaks');
  const line = "process.resourceUsage().maxRSS / 1024 + '\\n'";
  writeFileSync(
    preload,
    `import { appendFileSync } from 'node:fs';
    process.on('exit', () => appendFileSync(${JSON.stringify(peaks)}, ${line}));`,
  );
  rmSync(peaks, { force: true });
  const [node, ...words] = auditCommand(dump, '--out', path.join(folder, 'report'));
  spawnSync(node!, ['--import', preload, ...words], { stdio: 'ignore' });
  const each = readFileSync(peaks, 'utf8').trim().split('\n').map(Number);
  return each.reduce((sum, megabytes) => sum + megabytes, 0);
}

const parts = { decode: benchDecoding, whole: benchWhole, memory: benchMemory };
const wanted = process.argv.slice(2);
try {
  for (const [name, run] of Object.entries(parts)) if (wanted.length === 0 || wanted.includes(name)) run();
} finally {
  rmSync(folder, { recursive: true, force: true });
}
