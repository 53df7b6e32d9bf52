import { mkdir, mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { stepText } from './page.ts';
import type { Step } from './steps.ts';
import { runTour } from './tour.ts';

/** Usage: tsx sample-media-generator/season/main.ts. Flies a season in an empty home, and prints all of it. */
async function main(): Promise<number> {
  const folder = await mkdtemp(join(tmpdir(), 'halfturn-tour-'));
  const home = join(folder, 'home');
  const onStep = (step: Step) =>
    void process.stdout.write(`${stepText(step, 'whole').replaceAll(home, '~')}\n`);
  const program = resolve(import.meta.dirname, '../../bin/halfturn.js');
  try {
    await mkdir(home);
    await runTour({ season: join(folder, 'season'), home, program, onStep });
    return 0;
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}

process.exitCode = await main();
