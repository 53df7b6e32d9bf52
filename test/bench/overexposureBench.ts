import { pickWindow } from '../../src/advice/advise.ts';
import { chooseFilter } from '../../src/advice/choose.ts';
import { defaultLimits } from '../../src/domain/limits.ts';
import {
  experience,
  mostToldFraction,
  overexposureOf,
  stopsThatHold,
  type ExperienceLines,
  type Line,
  type Overexposure,
} from '../../src/domain/overexposure.ts';
import { median } from '../../src/domain/statistics.ts';
import {
  acceptedFraction,
  bracketScenes,
  overexposedFrames,
  type OverexposedFrame,
} from './bracketScenes.ts';
import { folderVariable, reportRatio } from './ratios.ts';

// npm run bench -- overexposure --brackets <dir>
//
// How far frames of real exposure brackets were over, against what is said of each alone: with the lines as they stand, and
// with lines that were fitted to all other cameras of the folder. Every scene weighs the same.

/** Where pictures and truth are read, a twentieth of a stop is nothing. */
const roundingStops = 0.05;
const needlessStops = 1.5;
const bands = [0.01, 0.02, 0.05, 0.1, mostToldFraction, 1] as const;
const chances = { low: 0.1, least: 0.2, middle: 0.5, high: 0.9 } as const;
const wholeStops = Array.from({ length: 10 }, (_, at) => ({ label: `${at + 1} stops`, stops: at + 1 }));

type Weighed = OverexposedFrame & { readonly weight: number };

async function main(): Promise<void> {
  const folder = process.env[folderVariable];
  const what = 'stated 80% interval holds real brackets';
  if (folder === undefined) return reportRatio({ what, unit: '%', note: 'no --brackets were named' });
  const scenes = await bracketScenes(folder);
  const frames = scenes.flatMap(overexposedFrames);
  const weighed = frames.map((frame) => ({
    ...frame,
    weight: 1 / frames.filter(({ scene }) => scene === frame.scene).length,
  }));
  score('as it stands', weighed, () => experience);
  const cameras = [...new Set(weighed.map(({ camera }) => camera))];
  const others = new Map(
    cameras.map((camera) => [camera, fitted(weighed.filter((frame) => frame.camera !== camera))]),
  );
  score('each camera by the others', weighed, ({ camera }) => others.get(camera)!);
  console.log(`fitted to all: ${JSON.stringify(fitted(weighed))}`);
  printScenes(weighed);
}

function score(
  how: string,
  frames: readonly Weighed[],
  linesOf: (frame: OverexposedFrame) => ExperienceLines,
): void {
  const said = frames.map((frame) => ({
    ...frame,
    over: overexposureOf(frame.clippedFraction, acceptedFraction, linesOf(frame))!,
  }));
  const twoSided = said.filter(({ over }) => over.highStops !== undefined);
  const oneSided = said.filter(({ over }) => over.highStops === undefined);
  const report = (what: string, measured: number | undefined, goal: object, of: readonly Weighed[]): void =>
    reportRatio({ what: `${what}, ${how}`, measured, ...goal, digits: 0, note: countOf(of) });
  const holds = ({ over, overStops }: (typeof said)[number]): boolean =>
    overStops >= over.lowStops - roundingStops && overStops <= over.highStops! + roundingStops;
  report('80% interval holds', share(twoSided, holds), { atLeast: 72, atMost: 88, unit: '%' }, twoSided);
  for (const [at, from] of bands.slice(0, -2).entries()) {
    const to = bands[at + 1]!;
    const band = twoSided.filter(({ clippedFraction: part }) => part > from && part <= to);
    report(`with ${100 * from} to ${100 * to}% burnt`, share(band, holds), { atLeast: 65, unit: '%' }, band);
  }
  const bound = ({ over, overStops }: (typeof said)[number]): boolean =>
    overStops >= over.leastStops - roundingStops;
  report('bound holds', share(oneSided, bound), { atLeast: 80, unit: '%' }, oneSided);
  report(
    'bound lies within 1.5 stops',
    share(oneSided, (frame) => bound(frame) && frame.overStops - frame.over.leastStops <= needlessStops),
    { atLeast: 50, unit: '%' },
    oneSided,
  );
  const small = twoSided.filter(({ clippedFraction }) => clippedFraction < 0.1);
  const errors = small.map(({ over, overStops }) => Math.abs(over.middleStops! - overStops));
  reportRatio({
    what: `median error below 10% burnt, ${how}`,
    measured: median(errors),
    atMost: 0.6,
    unit: 'stops',
    note: countOf(small),
  });
  const picked = said.map((frame) => ({ ...frame, darkerStops: pickFor(frame.over) }));
  const held = ({ darkerStops, overStops }: (typeof picked)[number]): boolean =>
    overStops <= darkerStops + roundingStops;
  const needless = ({ darkerStops, overStops }: (typeof picked)[number]): boolean =>
    darkerStops - overStops > needlessStops;
  for (const [of, some] of [
    ['all', picked],
    ['where more than a bound is told', picked.filter(({ over }) => over.highStops !== undefined)],
  ] as const) {
    report(`picked filter holds, ${of}`, share(some, held), { atLeast: 75, unit: '%' }, some);
    report(
      `picked filter is 1.5 stops too dark, ${of}`,
      share(some, needless),
      { atMost: 15, unit: '%' },
      some,
    );
  }
  const falling = said.filter((frame) =>
    said.some(
      (other) =>
        other.scene === frame.scene &&
        other.exposureStops > frame.exposureStops &&
        other.over.leastStops < frame.over.leastStops,
    ),
  );
  console.log(`a brighter frame with a smaller answer, ${how}: ${falling.length} frames`);
}

function pickFor(over: Overexposure): number {
  return chooseFilter(wholeStops, {
    totalStops: stopsThatHold(over, defaultLimits.holdChance),
    windowStops: pickWindow({ burntFraction: 1, overexposure: over }, defaultLimits),
  }).stops;
}

const doublings = (clippedFraction: number): number => Math.log2(clippedFraction / acceptedFraction);

function share<T extends Weighed>(frames: readonly T[], is: (frame: T) => boolean): number | undefined {
  const weight = (some: readonly T[]): number => some.reduce((sum, frame) => sum + frame.weight, 0);
  return frames.length === 0 ? undefined : (100 * weight(frames.filter(is))) / weight(frames);
}

function countOf(frames: readonly OverexposedFrame[]): string {
  return `${frames.length} frames of ${new Set(frames.map(({ scene }) => scene)).size} scenes`;
}

function fitted(frames: readonly Weighed[]): ExperienceLines {
  const at = (chance: number): Line => quantileLine(frames, chance);
  return {
    low: at(chances.low),
    least: at(chances.least),
    middle: at(chances.middle),
    high: at(chances.high),
  };
}

/**
 * The line of least weighed absolute deviations, tilted by the chance (Koenker & Bassett 1978). An optimal one goes through
 * two of the points, so all pairs are tried; one that falls is none.
 */
function quantileLine(frames: readonly Weighed[], chance: number): Line {
  const points = frames.map((frame) => ({
    x: doublings(frame.clippedFraction),
    y: frame.overStops,
    weight: frame.weight,
  }));
  let best: Line & { readonly loss: number } = { stops: 0, stopsPerDoubling: 0, loss: Infinity };
  for (const [at, a] of points.entries())
    for (const b of points.slice(at + 1)) {
      const stopsPerDoubling = (b.y - a.y) / (b.x - a.x);
      if (!(stopsPerDoubling >= 0) || stopsPerDoubling === Infinity) continue;
      const stops = a.y - stopsPerDoubling * a.x;
      let loss = 0;
      for (const { x, y, weight } of points) {
        const miss = y - stops - stopsPerDoubling * x;
        loss += weight * Math.max(chance * miss, (chance - 1) * miss);
        if (loss > best.loss) break;
      }
      if (loss < best.loss) best = { stops, stopsPerDoubling, loss };
    }
  const { stops, stopsPerDoubling } = best;
  return { stops, stopsPerDoubling };
}

/** Worst first, by the median of how far the middle of the answer lies from the truth. */
function printScenes(frames: readonly Weighed[]): void {
  const names = [...new Set(frames.map(({ scene }) => scene))];
  const rows = names.map((name) => {
    const own = frames.filter(({ scene }) => scene === name);
    const misses = own.map((frame) => {
      const over = overexposureOf(frame.clippedFraction, acceptedFraction)!;
      return (over.middleStops ?? over.leastStops) - frame.overStops;
    });
    const truths = own.map(
      (frame) => `${frame.overStops.toFixed(1)} at ${(100 * frame.clippedFraction).toFixed(0)}%`,
    );
    return { name, camera: own[0]!.camera, miss: median(misses)!, truths: truths.join(', ') };
  });
  console.log('scene, camera, median of said less true in stops, stops over at the share that burns');
  for (const { name, camera, miss, truths } of rows.sort((a, b) => Math.abs(b.miss) - Math.abs(a.miss)))
    console.log(`${name}\t${camera}\t${miss.toFixed(1)}\t${truths}`);
}

await main();
