import { mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { makeMedia } from '../reading/madeMedia.ts';
import { costOf, type Cost } from './cost.ts';
import { atSize, reportRatio } from './ratios.ts';

// tsx test/bench/againBench.ts [folder ...]
//
// What a second audit of an unchanged card costs beside the first: the whole command, the start of Node and the writing
// of the report included, on the sample card, on 4K clips that are made here, and on folders that are named. Called by
// itself it needs "npm run prebench" first.

const root = path.resolve(import.meta.dirname, '../..');
const program = path.join(root, 'bin', 'halfturn.js');
const seconds = atSize({ quick: [20, 30], usual: [20, 24, 30, 36, 45, 60] });

async function main(): Promise<void> {
  const scratch = mkdtempSync(path.join(tmpdir(), 'halfturn-again-'));
  try {
    const footage = path.join(scratch, 'footage');
    await makeFootage(footage);
    // A file that changed less than two seconds ago is not remembered.
    await sleep(2200);
    const named = process.argv.slice(2).map((folder) => [folder, folder] as const);
    compare('the sample card', path.join(root, 'sample-card', 'card'), scratch);
    compare(`${2 * seconds.length} clips of 4K and 6 stills`, footage, scratch, 1 / 50);
    for (const [name, folder] of named) compare(name, folder, scratch);
  } finally {
    rmSync(scratch, { recursive: true, force: true });
  }
}

/** Few pictures, repeated to the length wanted: making sixty seconds of noise takes minutes, and measuring sees no difference. */
async function makeFootage(folder: string): Promise<void> {
  mkdirSync(folder);
  const beside = path.dirname(folder);
  for (const source of ['testsrc2=s=3840x2160:r=30', 'mandelbrot=s=3840x2160:r=30:maxiter=200']) {
    const [name] = source.split('=');
    const short = path.join(beside, `${name}.mp4`);
    const noise = 'noise=alls=12:allf=t,format=yuv420p';
    const coding = '-c:v libx264 -preset ultrafast -b:v 60M -maxrate 60M -bufsize 60M -g 30'.split(' ');
    await makeMedia('-f', 'lavfi', '-i', source, '-t', '3', '-vf', noise, ...coding, short);
    for (const length of seconds)
      await makeMedia(
        ...`-stream_loop 30 -t ${length}`.split(' '),
        '-i',
        short,
        '-c',
        'copy',
        path.join(folder, `${name}-${length}.MP4`),
      );
    for (const at of ['0', '1', '2'])
      await makeMedia('-ss', at, '-i', short, '-frames:v', '1', path.join(folder, `${name}-${at}.JPG`));
  }
}

function compare(what: string, card: string, scratch: string, goal?: number): void {
  const cache = mkdtempSync(path.join(scratch, 'cache-'));
  const first = auditCost(card, scratch, cache);
  const again = [1, 2, 3].map(() => auditCost(card, scratch, cache));
  const best = (cost: keyof Cost): number => Math.min(...again.map((one) => one[cost]));
  for (const cost of ['cpuSeconds', 'wallSeconds'] as const)
    reportRatio({
      what: `${cost === 'cpuSeconds' ? 'processor time' : 'time'} of a second audit, ${what}`,
      measured: best(cost) / first[cost],
      atMost: goal,
      digits: 4,
      note: `${first[cost].toFixed(2)} s, then ${best(cost).toFixed(2)} s: 1/${Math.round(first[cost] / best(cost))}`,
    });
}

function auditCost(card: string, scratch: string, cache: string): Cost {
  const words = ['audit', card, '--no-logbook', '--quiet', '--out', path.join(scratch, 'report')];
  const environment = { PATH: process.env['PATH'] ?? '', HOME: scratch, XDG_CACHE_HOME: cache };
  return costOf([process.execPath, program, ...words], environment);
}

await main();
