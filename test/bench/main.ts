import { spawn, spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { availableParallelism, cpus, freemem, loadavg, tmpdir, totalmem } from 'node:os';
import path from 'node:path';
import { parseArgs } from 'node:util';
import {
  benchSizeVariable,
  folderVariable,
  goalText,
  measuredText,
  ratiosFileVariable,
  readRatios,
  verdict,
  type BenchSize,
  type Ratio,
} from './ratios.ts';

// They are not run side by side: each compares two things in one run, and both must meet the same machine.

const benches = ['reading', 'stills', 'measuring', 'look', 'again', 'shutter', 'overexposure', 'logbook'];

const { values, positionals } = parseArgs({
  options: {
    quick: { type: 'boolean', default: false },
    all: { type: 'boolean', default: false },
    folder: { type: 'string' },
    brackets: { type: 'string' },
    help: { type: 'boolean', default: false },
  },
  allowPositionals: true,
});
const size: BenchSize = values.quick ? 'quick' : values.all ? 'all' : 'usual';

const help = `npm run bench -- [--quick | --all] [--folder <dir>] [--brackets <dir>] [name ...]

Runs every bench, or those named, one after another, and closes with a table of what was
measured beside its goal: ${benches.join(', ')}.

  --quick  fewer items, so the numbers are rougher
  --all    every item there is: hours
  --folder where stills lie that the bench "stills" is to read, or fast clips that "shutter" is to average
  --brackets a folder with a subfolder of stills for each exposure bracket, for "overexposure"`;

interface Outcome {
  readonly name: string;
  readonly ratios: readonly Ratio[];
  readonly seconds: number;
  /** Absent where it ran to its end. */
  readonly fault?: string;
}

async function main(): Promise<number> {
  if (values.help) {
    console.log(help);
    return 0;
  }
  const chosen = positionals.length === 0 ? benches : positionals;
  const unknown = chosen.find((name) => !benches.includes(name));
  if (unknown !== undefined) {
    console.error(`There is no bench "${unknown}". There are ${benches.join(', ')}.`);
    return 2;
  }
  console.log(describeMachine());
  const outcomes: Outcome[] = [];
  for (const name of chosen) outcomes.push(await runBench(name));
  console.log(`\n${describeMachine()}\n\n${table(outcomes)}`);
  return outcomes.some(({ fault }) => fault !== undefined) ? 1 : 0;
}

/** What the numbers were measured on; no names or paths of the machine. */
function describeMachine(): string {
  const gigabytes = (bytes: number): string => `${(bytes / 2 ** 30).toFixed(1)} GiB`;
  const ffmpeg = spawnSync('ffmpeg', ['-version'], { encoding: 'utf8' });
  const version = ffmpeg.status === 0 ? /version (\S+)/.exec(ffmpeg.stdout)?.[1] : undefined;
  return [
    `${availableParallelism()} cores, ${cpus()[0]?.model.trim() ?? 'model not known'}`,
    `memory ${gigabytes(totalmem())}, ${gigabytes(freemem())} of it free`,
    `${process.platform} ${process.arch}, Node ${process.versions.node}, ffmpeg ${version ?? 'not of this system'}`,
    `load over 1, 5 and 15 minutes: ${loadavg()
      .map((load) => load.toFixed(1))
      .join(', ')}`,
    ...(size === 'quick' ? ['--quick: fewer items, so the numbers are rougher'] : []),
  ].join('\n');
}

async function runBench(name: string): Promise<Outcome> {
  const script = path.join(import.meta.dirname, `${name}Bench.ts`);
  if (!existsSync(script)) return { name, ratios: [], seconds: 0, fault: 'is not there' };
  console.log(`\n=== ${name}`);
  const folder = mkdtempSync(path.join(tmpdir(), 'halfturn-ratios-'));
  const file = path.join(folder, 'ratios.jsonl');
  writeFileSync(file, '');
  const media = name === 'overexposure' ? values.brackets : values.folder;
  const startMs = performance.now();
  const status = await ended(script, {
    [ratiosFileVariable]: file,
    [benchSizeVariable]: size,
    ...(media === undefined ? {} : { [folderVariable]: path.resolve(media) }),
  });
  const seconds = (performance.now() - startMs) / 1000;
  const ratios = readRatios(file);
  rmSync(folder, { recursive: true });
  return { name, ratios, seconds, fault: status === 0 ? undefined : `ended with ${status}` };
}

function ended(script: string, environment: Readonly<Record<string, string>>): Promise<number | string> {
  const child = spawn(process.execPath, ['--import', 'tsx', script], {
    cwd: path.resolve(import.meta.dirname, '../..'),
    env: { ...process.env, ...environment },
    stdio: 'inherit',
  });
  return new Promise((resolve, reject) => {
    child.once('error', reject).once('close', (status, signal) => resolve(status ?? signal ?? 'no status'));
  });
}

function table(outcomes: readonly Outcome[]): string {
  const rows = [
    ['what', 'goal', 'measured', '', ''],
    ...outcomes.flatMap(({ ratios }) =>
      ratios.map((ratio) => [
        ratio.what,
        goalText(ratio),
        measuredText(ratio),
        verdict(ratio),
        ratio.note ?? '',
      ]),
    ),
  ];
  const widths = rows[0]!.map((_, at) => Math.max(...rows.map((row) => row[at]!.length)));
  const lines = rows.map((row) =>
    row
      .map((cell, at) => cell.padEnd(widths[at]!))
      .join('  ')
      .trimEnd(),
  );
  const times = outcomes.map(({ name, seconds, fault }) =>
    fault === undefined ? `${name} ${seconds.toFixed(0)} s` : `${name} ${fault}`,
  );
  return [...lines, '', `benches: ${times.join(', ')}`].join('\n');
}

process.exitCode = await main();
