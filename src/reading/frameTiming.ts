import { sighting, type Reading } from './sighting.ts';
import { gapsBetween, usualGap } from './streamRate.ts';

// A gap counts as the usual one within a quarter of it, and as a whole number of them within a tenth.
const nearUsual = 0.25;
const wholeGaps = 0.1;

/**
 * What the presentation times of the first frames say of how evenly they follow each other. Gaps of whole frames mean
 * that frames were dropped, and the one before is shown again; other gaps, that the rate itself varies.
 */
export function frameTiming(timesSeconds: readonly number[], tickSeconds?: number): Reading {
  const gaps = gapsBetween(timesSeconds);
  const usual = usualGap(gaps, tickSeconds)?.seconds;
  if (usual === undefined) return { sightings: [], refusals: [] };
  const irregular = gaps.map((gap) => gap / usual).filter((steps) => Math.abs(steps - 1) > nearUsual);
  const dropped = irregular.every(
    (steps) => Math.round(steps) > 1 && Math.abs(steps - Math.round(steps)) <= wholeGaps,
  );
  const timing = irregular.length === 0 ? 'constant' : dropped ? 'repeating' : 'variable';
  const source = `times of the first ${gaps.length + 1} frames`;
  return {
    sightings: [
      sighting('frameTiming', timing, 'stream', source),
      sighting('irregularFrameFraction', irregular.length / gaps.length, 'stream', source),
    ],
    refusals: [],
  };
}
