import { spawnSync } from 'node:child_process';
import { copyFileSync, mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import type { BenchCodec, Clip } from './benchClips.ts';
import { withDump, type Recorded } from './benchDumps.ts';
import { costOf, peakMegabytes } from './cost.ts';
import { decodedToNothing, picturesOf } from './fedPictures.ts';
import { atSize, reportRatio } from './ratios.ts';

// tsx test/bench/measuringBench.ts [decode] [scout] [whole] [memory]      all where none is named
//
// What measuring costs, as ratios of processor seconds within one run: wall time says little on a machine that does
// other things too. Linux only, after "npm run build". Makes its clips in a temporary folder: some minutes and 10 GB.

const folder = mkdtempSync(path.join(tmpdir(), 'halfturn-bench-'));
const halfturn = [process.execPath, path.resolve(import.meta.dirname, '../../bin/halfturn.js')];

function auditCommand(dump: string, ...more: readonly string[]): readonly string[] {
  return [...halfturn, 'audit', dump, '--quiet', '--no-logbook', '--no-cache', ...more];
}

const cpuSeconds = (command: readonly string[]): number => costOf(command).cpuSeconds;

/** The mean of before and after something else, so that a machine that gets busier in between is fair to both. */
function around<T>(command: readonly string[], other: () => T): readonly [number, T] {
  const before = cpuSeconds(command);
  const result = other();
  return [(before + cpuSeconds(command)) / 2, result];
}

/** Of commands that take two seconds each run differs by a fifth: the least of three, by turns. */
function leastByTurns(first: readonly string[], second: readonly string[]): readonly [number, number] {
  const turns = [1, 2, 3].map(() => [cpuSeconds(first), cpuSeconds(second)] as const);
  return [Math.min(...turns.map(([one]) => one)), Math.min(...turns.map(([, other]) => other))];
}

/** So that starting the program is shared, as it is on a card. */
const clipsInDump = 4;
const codecs: readonly BenchCodec[] = ['h264', 'hevc of 10 bits'];

async function benchDecoding(): Promise<void> {
  for (const codec of codecs) {
    for (const seconds of [10, 60]) {
      const well = await costBeside({ codec, seconds, view: 'well' });
      reportRatio({
        what: `audit of a well-exposed clip, 4K ${codec}, ${seconds} s / decoding its key frames to nothing, CPU`,
        measured: well.audit / well.keys,
        atMost: seconds === 60 ? 0.45 : undefined,
        note: `${well.audit.toFixed(2)} against ${well.keys.toFixed(2)} s; a key frame each second`,
      });
      const faint = await costBeside({ codec, seconds, view: 'faint' });
      reportRatio({
        what: `audit of a doubtful clip, 4K ${codec}, ${seconds} s / decoding its pictures to nothing in one process, CPU`,
        measured: faint.audit / faint.pictures,
        atMost: 1.35,
        note: `${faint.audit.toFixed(2)} against ${faint.pictures.toFixed(2)} s`,
      });
    }
    const clip = { folder, codec, view: 'well', count: 1 } as const;
    const [long, short] = await withDump({ ...clip, seconds: 300 }, (ofLong) =>
      withDump({ ...clip, seconds: 60 }, (ofShort) =>
        leastByTurns(auditCommand(ofLong), auditCommand(ofShort)),
      ),
    );
    reportRatio({
      what: `audit of a well-exposed clip, 4K ${codec}, 300 s / 60 s, CPU`,
      measured: long / short,
      atMost: 1.3,
      note: `${long.toFixed(2)} against ${short.toFixed(2)} s`,
    });
  }
  const ofFurtherClips = (codec: BenchCodec): Promise<number> => {
    const clip = { folder, codec, seconds: 60, view: 'well' } as const;
    return withDump({ ...clip, count: 2 * clipsInDump }, (more) =>
      withDump({ ...clip, count: clipsInDump }, (fewer) => {
        const [ofMore, ofFewer] = around(auditCommand(more), () => cpuSeconds(auditCommand(fewer)));
        return ofMore - ofFewer;
      }),
    );
  };
  reportRatio({
    what: 'what further clips of 60 s in Full HD cost, once all is started / the same in 4K, CPU',
    measured: (await ofFurtherClips('hd')) / (await ofFurtherClips('h264')),
    atMost: 0.35,
  });
}

/** What an audit of a clip costs, and beside it decoding to nothing: of its key frames, and of what the audit decodes. */
function costBeside(clip: Clip) {
  return withDump({ folder, ...clip, count: clipsInDump }, (dump, file) => {
    const command = auditCommand(dump);
    const fed = picturesOf(command, folder);
    const [audit, decoding] = around(command, () => ({
      keys: cpuSeconds(decodedToNothing(file, '-discard', 'nokey', '-skip_frame', 'nokey')),
      pictures: cpuSeconds(decodedToNothing(fed)),
    }));
    return { audit: audit / clipsInDump, keys: decoding.keys, pictures: decoding.pictures / clipsInDump };
  });
}

async function benchScout(): Promise<void> {
  for (const codec of codecs) {
    const clip = { folder, codec, seconds: 60, view: 'well', count: clipsInDump } as const;
    const [audit, keys] = await withDump(clip, (dump, file) => {
      const copy = path.join(folder, 'copy.mp4');
      const coding = ['-c:v', 'libx264', '-preset', 'veryfast', '-b:v', '8M', '-g', '25', '-an', '-y'];
      spawnSync('ffmpeg', [
        '-v',
        'error',
        '-i',
        file,
        '-vf',
        'scale=1280:720,format=yuv420p',
        ...coding,
        copy,
      ]);
      for (const name of readdirSync(dump).filter((each) => each.endsWith('.MP4')))
        copyFileSync(copy, path.join(dump, name.replace(/MP4$/, 'LRF')));
      const [total, ofKeys] = around(auditCommand(dump), () =>
        cpuSeconds(decodedToNothing(file, '-discard', 'nokey', '-skip_frame', 'nokey')),
      );
      return [total / clipsInDump, ofKeys] as const;
    });
    reportRatio({
      what: `audit of a well-exposed clip with a low-resolution copy, 4K ${codec}, 60 s / decoding its key frames, CPU`,
      measured: audit / keys,
      atMost: 0.2,
      note: `${audit.toFixed(2)} against ${keys.toFixed(2)} s`,
    });
  }
}

async function benchWhole(): Promise<void> {
  const seconds = atSize({ quick: 30, usual: 60 });
  for (const [view, recorded] of [
    ['well', 'one shutter'],
    ['faint', 'one shutter'],
    ['swept', 'nothing'],
  ] as const) {
    const clip = { folder, codec: 'h264', seconds, view, count: 1, recorded } as const;
    const [audit, statistics] = await withDump(clip, (dump, file) =>
      around(auditCommand(dump), () =>
        cpuSeconds(['ffmpeg', '-v', 'error', '-i', file, '-vf', 'signalstats', '-f', 'null', '-']),
      ),
    );
    reportRatio({
      what: `signalstats over the whole of ${seconds} s of 4K / audit, a clip that is ${kinds[view]}, CPU`,
      measured: statistics / audit,
      atLeast: view === 'well' && seconds === 60 ? 60 : undefined,
      digits: 1,
      note: `${statistics.toFixed(1)} against ${audit.toFixed(1)} s`,
    });
  }
  const swept = { folder, codec: 'h264', seconds: 5, view: 'swept', count: clipsInDump } as const;
  const [told, ordinary] = await withDump({ ...swept, recorded: 'nothing' }, (unrecorded) =>
    withDump({ ...swept, recorded: 'one shutter' }, (dump) =>
      around(auditCommand(unrecorded), () => cpuSeconds(auditCommand(dump))),
    ),
  );
  reportRatio({
    what: 'telling the shutter of a clip of 4K from its motion blur, CPU over the same audit where it was recorded',
    measured: (told - ordinary) / clipsInDump,
    atMost: 3,
    unit: 's',
  });
  const verdicts: (readonly [boolean, boolean])[] = [];
  for (const view of ['well', 'bright', 'faint'] as const)
    verdicts.push(
      await withDump({ folder, codec: 'hd', seconds: 10, view, count: 1 }, (dump, file) => [
        auditFlags(dump),
        statisticsFlag(file),
      ]),
    );
  reportRatio({
    what: 'clips on which the audit and the statistics of every frame agree that highlights are clipped or not',
    measured: verdicts.filter(([ours, theirs]) => ours === theirs).length / verdicts.length,
    atLeast: 1,
    note: verdicts.map(([, theirs]) => (theirs ? 'one that clips' : 'one that does not')).join(', '),
  });
}

const kinds = {
  well: 'well exposed',
  faint: 'doubtful',
  swept: 'told its shutter from the motion blur',
} as const;

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

function auditFlags(dump: string): boolean {
  const [node, ...words] = auditCommand(dump, '--json');
  const { stdout } = spawnSync(node!, words, { encoding: 'utf8', maxBuffer: 1 << 26 });
  const { recordings } = JSON.parse(stdout) as {
    readonly recordings: readonly { readonly findings: readonly { readonly kind: string }[] }[];
  };
  return recordings[0]!.findings.some(({ kind }) => kind === 'highlights-clipped');
}

/** On two cores; each further worker may take half as much again. */
const mostMegabytes = 600;

async function benchMemory(): Promise<void> {
  const many = atSize({ quick: 20, usual: 200, all: 1000 });
  const short = atSize({ quick: 100, usual: 1000 });
  const dumps: readonly (readonly [string, Clip, number, Recorded])[] = [
    [`${many} clips of 1 s in 4K`, { codec: 'h264', seconds: 1, view: 'well' }, many, 'one shutter'],
    [
      '4 clips of 4K whose shutter is told from the motion blur',
      { codec: 'h264', seconds: 5, view: 'swept' },
      4,
      'nothing',
    ],
    [
      '20 clips of 600 s, recorded for every frame',
      { codec: 'small', seconds: 600, view: 'well' },
      20,
      'every frame',
    ],
    [`${short} clips of 1 s`, { codec: 'small', seconds: 1, view: 'well' }, short, 'one shutter'],
  ];
  for (const [what, clip, count, recorded] of dumps)
    reportRatio({
      what: `peak memory of all processes with the whole report, ${what}`,
      measured: await withDump({ folder, ...clip, count, recorded }, (dump) =>
        peakMegabytes(auditCommand(dump, '--out', path.join(folder, 'report'))),
      ),
      atMost: mostMegabytes,
      unit: 'MB',
      digits: 0,
    });
}

const parts = { decode: benchDecoding, scout: benchScout, whole: benchWhole, memory: benchMemory };
const wanted = process.argv.slice(2);
try {
  for (const [name, run] of Object.entries(parts))
    if (wanted.length === 0 || wanted.includes(name)) await run();
} finally {
  rmSync(folder, { recursive: true, force: true });
}
