import { overexposureOf } from '../../src/measuring/overexposure.ts';
import { brightened, realScenes, renderedScene } from './brightenedPictures.ts';
import type { Brightened } from './brightenedPictures.ts';

// How often the interval for overexposure holds what it says (four times of five), and what its numbers would be if
// they were taken from all real pictures but those of one source, and held against that one.
// Run it with `npx tsx test/bench/overexposureBench.ts`.

function coverage(
  rows: readonly Brightened[],
  interval: (row: Brightened) => readonly [number, number],
): string {
  const inside = rows.filter((row) => {
    const [low, high] = interval(row);
    return row.overStops >= low - 0.005 && row.overStops <= high + 0.005;
  });
  return `${inside.length} of ${rows.length}, ${((100 * inside.length) / rows.length).toFixed(0)} %`;
}

function built({ clippedFraction }: Brightened): readonly [number, number] {
  const { lowStops, highStops } = overexposureOf(clippedFraction, 0.01)!;
  return [lowStops, highStops];
}

/** Width of the neighbourhood in clipped area: a factor of 1.8 either way has the weight of one standard deviation. */
const neighbourhood = 0.6;

function weightedQuantile(rows: readonly Brightened[], clippedFraction: number, share: number): number {
  const weighted = rows
    .map((row) => ({
      stops: row.overStops,
      weight: Math.exp(-((Math.log(row.clippedFraction / clippedFraction) / neighbourhood) ** 2) / 2),
    }))
    .sort((a, b) => a.stops - b.stops);
  const total = weighted.reduce((sum, { weight }) => sum + weight, 0);
  let sum = 0;
  return weighted.find(({ weight }) => (sum += weight) >= share * total)?.stops ?? 0;
}

const real = (await realScenes()).flatMap(brightened);
const rendered = Array.from({ length: 60 }, (_, seed) => renderedScene(seed)).flatMap(brightened);
console.log(`rendered scenes: ${coverage(rendered, built)}`);
if (real.length === 0) console.log('no real pictures beside the project: nothing more to say');
else {
  console.log(`real pictures, with the numbers as built: ${coverage(real, built)}`);
  const leftOut = ({ source, clippedFraction }: Brightened): readonly [number, number] => {
    const others = real.filter((row) => row.source !== source);
    return [weightedQuantile(others, clippedFraction, 0.1), weightedQuantile(others, clippedFraction, 0.9)];
  };
  console.log(`real pictures, each source left out in turn: ${coverage(real, leftOut)}`);
  for (const fraction of [0.0125, 0.02, 0.04, 0.08, 0.16, 0.32, 0.64])
    console.log(
      fraction,
      [0.05, 0.1, 0.9].map((share) => weightedQuantile(real, fraction, share).toFixed(2)).join(' '),
    );
}
