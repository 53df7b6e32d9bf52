import { openFractions, stepStops } from './openingFit.ts';
import type { OpeningFit } from './openingFit.ts';

/** How believable each of `openFractions` is; adds up to 1. */
export interface Posterior {
  readonly shares: Float64Array;
  readonly lowDegrees: number;
  readonly middleDegrees: number;
  readonly highDegrees: number;
}

/** Standard deviation, in stops, of what the model leaves out, where the first zero is seen. */
const modelSpreadStops = 0.06;
/** Added where only the roll-off before the first zero is seen: texture of the scene looks the same. */
const rollOffSpreadStops = 0.5;
/** Points that are more grain than detail show no zero. */
const mostFloorShare = 0.6;
/** Highest frequency, in cycles per pixel, at which attenuation is still measured. */
const highestFrequency = 0.33;

/** Beliefs after a fit, widened for what the model leaves out and where it does not fit. */
export function posteriorOf(fit: OpeningFit, extraSpreadStops = 0): Posterior {
  const best = fit.costs[fit.bestIndex]!;
  const widening = Math.max(1, fit.misfit);
  const shares = new Float64Array(openFractions.length);
  openFractions.forEach((open, i) => {
    const belief = Math.exp(-(fit.costs[i]! - best) / (2 * widening));
    if (belief < 1e-6) return;
    const beforeZero = Math.min(1, Math.max(0, (1.1 - zerosSeen(fit, open)) / 0.5));
    const spread = Math.hypot(modelSpreadStops + rollOffSpreadStops * beforeZero, extraSpreadStops);
    spreadOut(shares, i, belief, spread / stepStops);
  });
  return summarised(shares);
}

/** Highest q at which there is detail to be attenuated, in cycles per frame. */
export function reachedCycles({ points, levelPixelsPerFrame }: OpeningFit): number {
  const reached = points.reduce(
    (most, { cyclesPerFrame, floorShare }) =>
      floorShare < mostFloorShare ? Math.max(most, cyclesPerFrame) : most,
    0,
  );
  return Math.min(reached, detailCycles({ levelPixelsPerFrame }));
}

/** Highest q that pictures hold where neither grain nor codec hides it. */
export function detailCycles({ levelPixelsPerFrame }: Pick<OpeningFit, 'levelPixelsPerFrame'>): number {
  return highestFrequency * levelPixelsPerFrame;
}

/** How many zeros of the attenuation lie inside what was measured; 1.1 and more: the first one is clearly seen. */
export function zerosSeen(fit: OpeningFit, openFraction: number): number {
  return openFraction * reachedCycles(fit);
}

function spreadOut(shares: Float64Array, centre: number, belief: number, deviation: number): void {
  const kernel = shares.map((_, k) => Math.exp(-0.5 * ((k - centre) / deviation) ** 2));
  const total = kernel.reduce((sum, value) => sum + value, 0);
  for (let k = 0; k < shares.length; k++) shares[k]! += (belief * kernel[k]!) / total;
}

function summarised(weights: Float64Array): Posterior {
  const total = weights.reduce((sum, value) => sum + value, 0);
  const shares = weights.map((value) => value / total);
  return {
    shares,
    lowDegrees: quantileDegrees(shares, 0.025),
    middleDegrees: quantileDegrees(shares, 0.5),
    highDegrees: quantileDegrees(shares, 0.975),
  };
}

/** Between grid values in proportion, each value standing for the step around it. */
function quantileDegrees(shares: Float64Array, probability: number): number {
  let passed = 0;
  for (let i = 0; i < shares.length; i++) {
    if (passed + shares[i]! >= probability)
      return 360 * openFractions[0]! * 2 ** ((i - 0.5 + (probability - passed) / shares[i]!) * stepStops);
    passed += shares[i]!;
  }
  return 360 * openFractions[openFractions.length - 1]!;
}

export interface ClassProbabilities {
  readonly short: number;
  readonly on: number;
  readonly long: number;
}

/** Beliefs that the angle is shorter than, within, or longer than a tolerance round a target. */
export function classProbabilities(
  { shares }: Posterior,
  target: { readonly angleDegrees: number; readonly toleranceStops: number },
): ClassProbabilities {
  const ratio = 2 ** target.toleranceStops;
  const [low, high] = [target.angleDegrees / ratio / 360, (target.angleDegrees * ratio) / 360];
  let [short, on, long] = [0, 0, 0];
  openFractions.forEach((open, i) => {
    // The step around a grid value is divided where a bound cuts it.
    const below = shareBelow(open, low);
    const above = 1 - shareBelow(open, high);
    short += shares[i]! * below;
    long += shares[i]! * above;
    on += shares[i]! * (1 - below - above);
  });
  return { short, on, long };
}

function shareBelow(open: number, bound: number): number {
  return Math.min(1, Math.max(0, Math.log2(bound / open) / stepStops + 0.5));
}
