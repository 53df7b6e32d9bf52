import { overexposureOf } from '../../src/measuring/pictureSummary.ts';
import { brightened, realScenes, renderedScene, type Brightened } from './brightenedPictures.ts';
import { reportRatio } from './ratios.ts';

// How often the interval for overexposure holds what it says: four times of five. Its numbers were fitted to the real
// pictures beside the project and to rendered scenes 0 to 99; scenes 100 to 199 took no part, and a folder of
// photographs that is named takes none either.
// Run it with `npx tsx test/bench/overexposureBench.ts [folder]`.

const fittedScenes = 100;

function isInside({ clippedFraction, nearlyClippedFraction, overStops }: Brightened): boolean {
  const { lowStops, highStops } = overexposureOf(clippedFraction, 0.01, nearlyClippedFraction)!;
  return overStops >= lowStops - 0.005 && overStops <= highStops + 0.005;
}

function reportCoverage(of: string, sets: readonly (readonly Brightened[])[]): void {
  const filled = sets.filter((rows) => rows.length > 0);
  // Sets of different size weigh alike.
  const shares = filled.map((rows) => rows.filter(isInside).length / rows.length);
  reportRatio({
    what: `80% interval of overexposure holds, ${of}`,
    measured:
      shares.length === 0 ? undefined : (100 * shares.reduce((sum, one) => sum + one, 0)) / shares.length,
    atLeast: 75,
    atMost: 85,
    unit: '%',
    digits: 0,
    note: filled.length === 0 ? 'none there' : `of ${filled.map(({ length }) => length).join(' and ')}`,
  });
}

const rendered = (from: number): readonly Brightened[] =>
  Array.from({ length: fittedScenes }, (_, seed) => renderedScene(from + seed)).flatMap(brightened);

const real = (await realScenes()).flatMap(brightened);
const [fitted, unseen] = [rendered(0), rendered(fittedScenes)];
reportCoverage('rendered scenes it was fitted to', [fitted]);
reportCoverage('real pictures it was fitted to', [real]);
reportCoverage('both kinds', [fitted, real]);
reportCoverage('rendered scenes it has not seen', [unseen]);
const folder = process.argv[2];
if (folder !== undefined) {
  const others = (await realScenes(folder)).flatMap(brightened);
  reportCoverage('photographs it has not seen', [others]);
  reportCoverage('both kinds it has not seen', [unseen, others]);
}
