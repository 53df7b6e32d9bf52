import {
  boxAttenuation,
  pool,
  referenceAttenuation,
  type CurvePoint,
  type TileRatios,
} from './attenuationCurve.ts';
import { planTexture, type TextureModel } from './textureFit.ts';

// For each share a of the frame time on a grid: attenuation = texture · [(1 - fill) · box(a, q) + fill], where gain and
// texture are settled by least squares and `fill` is what stands in the zeros.

/** How well each open share of the frame time explains a curve. */
export interface OpeningFit {
  readonly model: TextureModel;
  /** Twice the negative log-likelihood of each entry of `openFractions`. */
  readonly costs: Float64Array;
  readonly bestIndex: number;
  /** Misfit of the best in units of what the noise explains; near or below 1 is a good fit. */
  readonly misfit: number;
  readonly points: readonly CurvePoint[];
  /** The best curve, at `points`. */
  readonly fitted: Float64Array;
  /** Whether so much stands in the zeros that the first looks like a plateau. */
  readonly isFilled: boolean;
  readonly levelPixelsPerFrame: number;
}

const stepStops = 1 / 24;
/** Open shares tried: 7 to 450 degrees. */
export const openFractions: readonly number[] = Array.from(
  { length: 145 },
  (_, i) => 0.02 * 2 ** (i * stepStops),
);

/**
 * Ways in which zeros may be filled: evenly (motion that differs inside a tile), or by grain that the codec carries along
 * with the content, which smoothing in the camera may have left at the coarser frequencies only.
 */
const fills = [
  { even: 0, grain: 0, cost: 0 },
  { even: 0.01, grain: 0, cost: 1 },
  { even: 0.03, grain: 0, cost: 1 },
  { even: 0.08, grain: 0, cost: 1 },
  { even: 0.2, grain: 0, cost: 4 },
  { even: 0.35, grain: 0, cost: 6 },
  { even: 0, grain: 0.5, cost: 1 },
  { even: 0, grain: 0.9, cost: 1 },
  { even: 0.02, grain: 0.9, cost: 1 },
  { even: 0, grain: 2.5, cost: 4 },
] as const;
const heavyFillCost = 4;
const leastTiles = 8;
const leastPoints = 12;
/** Of so many open shares one is tried at first; those between follow where an answer may lie. */
const stride = 4;
/** Costs this far above the best, in units of what the fit misses, leave no belief (a millionth at 27.6). */
const hopelessCost = 80;
const firstRounds = 5;
/** Later trials start from a neighbour's solution. */
const nextRounds = 2;

/** @returns undefined where there are too few tiles or the curve has too few points */
export function fitOpening(tiles: readonly TileRatios[], model: TextureModel): OpeningFit | undefined {
  const points = pool(tiles, model === 'isotropic' ? 'together' : 'apart');
  if (tiles.length < leastTiles || points.length < leastPoints) return undefined;
  const levelPixelsPerFrame = tiles.reduce((sum, tile) => sum + tile.levelPixelsPerFrame, 0) / tiles.length;
  const search = planSearch(points, model, levelPixelsPerFrame);
  const starts = new Map<number, readonly Float64Array[]>();
  let states: readonly Float64Array[] = fills.map(() => new Float64Array(search.unknowns));
  for (let index = 0; index < openFractions.length; index += stride) {
    search.tryAt(index, states, index === 0 ? firstRounds : nextRounds);
    starts.set(index, states);
    states = states.map((state) => state.slice());
  }
  const hopeless = search.best().cost + hopelessCost * Math.max(1, search.best().cost / points.length);
  for (const [index, start] of starts) {
    if (Math.min(search.costs[index]!, search.costs[index + stride] ?? Infinity) > hopeless) continue;
    for (let between = index + 1; between < Math.min(index + stride, openFractions.length); between++)
      search.tryAt(between, start, nextRounds);
  }
  const best = search.best();
  return {
    model,
    costs: search.costs,
    points,
    levelPixelsPerFrame,
    bestIndex: best.index,
    misfit: best.cost / points.length,
    fitted: best.fitted,
    isFilled: best.isFilled,
  };
}

function planSearch(points: readonly CurvePoint[], model: TextureModel, levelPixelsPerFrame: number) {
  const { unknowns, settle } = planTexture(points, model);
  const [box, shape, fitted] = [0, 0, 0].map(() => new Float64Array(points.length)) as [
    Float64Array,
    Float64Array,
    Float64Array,
  ];
  const costs = new Float64Array(openFractions.length).fill(Infinity);
  let best = { cost: Infinity, index: 0, fitted, isFilled: false };
  return {
    unknowns,
    /** Of the open shares tried so far; the others Infinity. */
    costs,
    best: () => best,
    /** Tries one open share with every fill, from a state for each, which is overwritten. */
    tryAt: (index: number, states: readonly Float64Array[], rounds: number): void => {
      const open = openFractions[index]!;
      points.forEach(({ cyclesPerFrame }, i) => {
        box[i] = boxAttenuation(open, cyclesPerFrame, levelPixelsPerFrame);
      });
      const gain = -Math.log(referenceAttenuation(open, levelPixelsPerFrame));
      fills.forEach(({ even, grain, cost: fillCost }, k) => {
        for (let i = 0; i < points.length; i++) {
          const fill = Math.min(0.9, even + grain * points[i]!.floorShare);
          shape[i] = (1 - fill) * box[i]! + fill;
        }
        const cost = settle({ shape, fitted, gain, state: states[k]!, rounds }) + fillCost;
        costs[index] = Math.min(costs[index]!, cost);
        if (cost < best.cost)
          best = { cost, index, fitted: fitted.slice(), isFilled: fillCost >= heavyFillCost };
      });
    },
  };
}

/** How believable each of `openFractions` is; adds up to 1. */
export interface Posterior {
  readonly shares: Float64Array;
  readonly lowDegrees: number;
  readonly middleDegrees: number;
  readonly highDegrees: number;
  /** The angle is at most this with 95%; low to high hold it with 95% together. */
  readonly atMostDegrees: number;
}

/** Standard deviation, in stops, of what the model leaves out, where the first zero is seen. */
const modelSpreadStops = 0.08;
/** Added where only the roll-off before the first zero is seen: texture of the scene looks the same. */
const rollOffSpreadStops = 0.4;
/**
 * Of an unevenness of 1. Where motion shakes at 0.4 cycles a frame, the speed while the shutter was open misses that from
 * frame to frame by 0.31 of its change from pair to pair, which is 0.45 stop; by less where it shakes more slowly.
 */
const unevenSpreadStops = 0.45;
/** Points that are more grain than detail show no zero. */
const mostFloorShare = 0.6;

/** How far a fit may be believed. */
export interface Reach {
  /** The less of the detail was reached, the more a belief is widened. */
  readonly reached: number;
  /** Share of the motion by which it changes from frame to frame. */
  readonly unevenness: number;
}

/** Beliefs after a fit, widened for what the model leaves out. */
export function posteriorOf(fit: OpeningFit, { reached, unevenness }: Reach): Posterior {
  const best = fit.costs[fit.bestIndex]!;
  const widening = Math.max(1, fit.misfit);
  const shares = new Float64Array(openFractions.length);
  openFractions.forEach((open, i) => {
    const belief = Math.exp(-(fit.costs[i]! - best) / (2 * widening));
    if (belief < 1e-6) return;
    const beforeZero = Math.min(1, Math.max(0, (1.1 - open * reached) / 0.5));
    const spreadStops = Math.hypot(
      modelSpreadStops + rollOffSpreadStops * beforeZero,
      unevenSpreadStops * unevenness,
    );
    spreadOut(shares, i, belief, spreadStops / stepStops);
  });
  return summarised(shares);
}

/** Of a step of q that counts as seen: so many tiles, and of the most that a step has so many. */
const leastReachTiles = 6;
const leastReachShare = 0.15;
const leastAgreement = 0.7;

/** Highest q at which there is detail to be attenuated, in cycles per frame, and frames that agree on it. */
export function reachedCycles({ points }: Pick<OpeningFit, 'points'>): number {
  const most = points.reduce((max, { tiles }) => Math.max(max, tiles), 0);
  const enough = Math.max(leastReachTiles, leastReachShare * most);
  return points
    .filter(
      ({ floorShare, tiles, agreement }) =>
        floorShare < mostFloorShare && tiles >= enough && agreement >= leastAgreement,
    )
    .reduce((reached, { cyclesPerFrame }) => Math.max(reached, cyclesPerFrame), 0);
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
    atMostDegrees: quantileDegrees(shares, 0.95),
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

/** Beliefs that the angle is shorter than, within, or longer than a tolerance round a target. */
export function classProbabilities(
  { shares }: Posterior,
  target: { readonly angleDegrees: number; readonly toleranceStops: number },
) {
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
