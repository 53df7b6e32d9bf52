import { mkdir, mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { buildSeason } from './build.ts';
import { stepText } from './page.ts';
import { runTour, type Step } from './tour.ts';

/** Usage: tsx sample-media-generator/season/main.ts. Makes a season, flies it in an empty home, and prints all of it. */
async function main(): Promise<number> {
  const folder = await mkdtemp(join(tmpdir(), 'halfturn-tour-'));
  const home = join(folder, 'home');
  const said = (text: string) => process.stdout.write(`${text.replaceAll(home, '~')}\n`);
  try {
    await mkdir(home);
    process.stderr.write('Making the cards of ten flights …\n');
    const truth = await buildSeason(join(folder, 'season'));
    const onStep = (step: Step) => said(stepText(step, 'whole'));
    const program = resolve(import.meta.dirname, '../../bin/halfturn.js');
    await runTour({ season: join(folder, 'season'), home, program, truth, onStep });
    return 0;
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}

process.exitCode = await main();
