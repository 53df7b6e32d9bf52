import { readdirSync } from 'node:fs';
import path from 'node:path';
import { parseArgs } from 'node:util';
import { listCases, type ListedCase } from '../../sample-media-generator/blur/caseList.ts';
import { droneCases } from '../../sample-media-generator/blur/droneCases.ts';
import { missingPackage, photographNames } from '../../sample-media-generator/blur/photographedScenes.ts';
import { quantile } from '../../src/domain/statistics.ts';
import { estimateShutter } from '../../src/measuring/shutter/estimateShutter.ts';
import { atSize, reportRatio } from './ratios.ts';
import { scoreFolder, scoreRealMotion } from './realMotion.ts';
import { pairsOf } from './renderedClips.ts';
import {
  errorStops,
  exposureFractionError,
  isWrong,
  printFailures,
  printReasons,
  printTable,
  tableHead,
  tableRow,
  type Scored,
} from './scoring.ts';

// tsx test/bench/shutterBench.ts [--set tuning|unseen|all] [--cache folder] [--only pattern] [--real] [--photographs folder]
//
// Two thirds of the clips are for tuning; the unseen third is scored with every limit already fixed. Flights over ground at
// a slant are over drawn scenes, or over the photographs of a folder, large ones that nobody here made.

/** Mean absolute error that arXiv 2303.10247 gives for synthetic data. */
const publishedExposureFractionError = 0.039;

async function scoreClips(
  cases: readonly ListedCase[],
  cache: string | undefined,
): Promise<readonly Scored[]> {
  const scored: Scored[] = [];
  for (const clip of cases) {
    const pairs = await pairsOf(clip, cache);
    if (pairs === undefined) continue;
    const begun = process.cpuUsage().user;
    const estimate = estimateShutter(pairs);
    const cpuSeconds = (process.cpuUsage().user - begun) / 1e6;
    const { angleDegrees, pixelsPerFrame, scene, group, conversion } = clip;
    scored.push({
      id: clip.id,
      labels: { angle: angleDegrees, speed: pixelsPerFrame, scene, group },
      pixelsPerFrame,
      truthDegrees: conversion === undefined ? angleDegrees : undefined,
      estimate,
      cpuSeconds,
    });
    process.stderr.write(`\r${scored.length}/${cases.length} ${clip.id.padEnd(50)}`);
  }
  process.stderr.write('\n');
  return scored;
}

function printScores(scored: readonly Scored[]): void {
  const told = scored.filter(({ truthDegrees }) => truthDegrees !== undefined);
  const fast = told.filter(({ pixelsPerFrame }) => pixelsPerFrame >= 8);
  console.log(tableHead('errors in stops'));
  console.log(tableRow('all with a true angle', told));
  console.log(tableRow('8 px/frame and more', fast));
  printTable('angle, 8 px/frame and more', fast, 'angle');
  printTable('px/frame', told, 'speed');
  printTable('scene', told, 'scene');
  printTable('kind', scored, 'group');
  printFailures(scored);
  printReasons(fast);
  reportScores(told, fast);
}

function reportScores(told: readonly Scored[], fast: readonly Scored[]): void {
  const clean = told.filter(({ labels }) => labels['group'] === 'clean');
  for (const [name, rows] of [
    ['all clips', told],
    ['undegraded clips', clean],
  ] as const) {
    const { mean, clips } = exposureFractionError(rows);
    reportRatio({
      what: `shutter from blur, mean error of the exposure fraction, ${name}`,
      measured: mean,
      atMost: publishedExposureFractionError,
      digits: 4,
      note: `over ${clips} clips of 5 to 130 degrees`,
    });
  }
  const errors = fast.flatMap((row) => errorStops(row) ?? []).map(Math.abs);
  const classed = fast.filter(({ estimate }) => estimate.class !== undefined);
  const note = `${fast.length} clips of 8 px/frame and more`;
  reportRatio({
    what: 'shutter from blur, median error',
    measured: quantile(errors, 0.5),
    unit: 'stops',
    digits: 3,
    note,
  });
  reportRatio({
    what: 'shutter from blur, class given',
    measured: (100 * classed.length) / fast.length,
    atLeast: 85,
    unit: '%',
    digits: 1,
    note,
  });
  const right = classed.filter((row) => !isWrong(row)).length;
  reportRatio({
    what: 'shutter from blur, class right where given',
    measured: (100 * right) / classed.length,
    unit: '%',
    digits: 1,
    note: `${right} of ${classed.length}`,
  });
}

/** Held against a published error, so never fewer than there are. */
const keptWhole = 'clean';

/**
 * One of so many cases of every kind, by angle, then speed, then scene. A number that shares no divisor with how many
 * angles and speeds there are meets all of them alike.
 */
function spreadCases(listed: readonly ListedCase[], oneOf: number): readonly ListedCase[] {
  const sorted = listed.toSorted(
    (a, b) =>
      a.group.localeCompare(b.group) ||
      a.angleDegrees - b.angleDegrees ||
      a.pixelsPerFrame - b.pixelsPerFrame ||
      a.scene.localeCompare(b.scene),
  );
  return sorted.filter(({ group }, at) => at % oneOf === 0 || (group === keptWhole && oneOf < 20));
}

const { values } = parseArgs({
  options: {
    set: { type: 'string', default: 'all' },
    cache: { type: 'string' },
    only: { type: 'string', default: '' },
    real: { type: 'boolean', default: false },
    photographs: { type: 'string' },
  },
});

function groundScenes(folder: string | undefined): readonly string[] {
  if (folder === undefined) return ['gravel', 'fields', 'grass', 'leaves'];
  return readdirSync(folder)
    .filter((name) => /\.(jpe?g|png|tiff?)$/i.test(name))
    .map((name) => path.join(folder, name));
}

async function main(): Promise<void> {
  for (const name of photographNames) {
    const missing = missingPackage(name);
    if (missing !== undefined)
      console.log(`left out: scene "${name}" (install the Debian package ${missing})`);
  }
  const listed = listCases().filter(
    (clip) => (values.set === 'all' || clip.set === values.set) && new RegExp(values.only).test(clip.id),
  );
  const cases = spreadCases(listed, atSize({ quick: 23, usual: 13, all: 1 }));
  const flights = droneCases(groundScenes(values.photographs), {
    count: atSize({ quick: 4, usual: 12, all: 126 }),
    seed: 9000,
  }).map((flight) => ({ ...flight, group: 'drone', set: 'unseen' }) as const);
  if (values.photographs === undefined && !values.real) printScores(await scoreClips(cases, values.cache));
  if (!values.real) {
    const flown = await scoreClips(flights, values.cache);
    printTable('flights over ground at a slant', flown, 'group');
    printFailures(flown);
    printReasons(flown);
  }
  const real = [...(await scoreRealMotion()), ...(await scoreFolder())];
  if (real.length === 0) return;
  printTable('real motion', real, 'source');
  printTable('real motion by angle', real, 'angle');
  printFailures(real);
  printReasons(real);
}

await main();
