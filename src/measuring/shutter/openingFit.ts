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
  readonly levelPixelsPerFrame: number;
  readonly tileCount: number;
}

export const stepStops = 1 / 24;
/** Open shares tried: 7 to 450 degrees. */
export const openFractions: readonly number[] = Array.from(
  { length: 145 },
  (_, i) => 0.02 * 2 ** (i * stepStops),
);

/** Ways in which zeros may be filled: evenly (motion that differs inside a tile), or by grain that the codec carries. */
const fills = [
  { even: 0, grain: 0 },
  { even: 0.01, grain: 0 },
  { even: 0.03, grain: 0 },
  { even: 0.08, grain: 0 },
  { even: 0, grain: 0.5 },
  { even: 0, grain: 0.9 },
  { even: 0.02, grain: 0.9 },
] as const;
const fillCost = 1;
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
  for (const [index, found] of starts) {
    if (Math.min(search.costs[index]!, search.costs[index + stride] ?? Infinity) > hopeless) continue;
    for (let between = index + 1; between < Math.min(index + stride, openFractions.length); between++)
      search.tryAt(between, found, nextRounds);
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
    tileCount: tiles.length,
  };
}

interface Search {
  readonly unknowns: number;
  /** Of the open shares tried so far; the others Infinity. */
  readonly costs: Float64Array;
  /** Tries one open share with every fill, from a state for each, which is overwritten. */
  readonly tryAt: (index: number, states: readonly Float64Array[], rounds: number) => void;
  readonly best: () => { readonly cost: number; readonly index: number; readonly fitted: Float64Array };
}

function planSearch(points: readonly CurvePoint[], model: TextureModel, levelPixelsPerFrame: number): Search {
  const { unknowns, settle } = planTexture(points, model);
  const [box, shape, fitted] = [0, 0, 0].map(() => new Float64Array(points.length)) as [
    Float64Array,
    Float64Array,
    Float64Array,
  ];
  const costs = new Float64Array(openFractions.length).fill(Infinity);
  let best = { cost: Infinity, index: 0, fitted };
  return {
    unknowns,
    costs,
    best: () => best,
    tryAt: (index, states, rounds) => {
      const open = openFractions[index]!;
      points.forEach(({ cyclesPerFrame }, i) => {
        box[i] = boxAttenuation(open, cyclesPerFrame, levelPixelsPerFrame);
      });
      const gain = -Math.log(referenceAttenuation(open, levelPixelsPerFrame));
      fills.forEach(({ even, grain }, k) => {
        for (let i = 0; i < points.length; i++) {
          const fill = Math.min(0.9, even + grain * points[i]!.floorShare);
          shape[i] = (1 - fill) * box[i]! + fill;
        }
        const cost =
          settle({ shape, fitted, gain, state: states[k]!, rounds }) + (even + grain > 0 ? fillCost : 0);
        costs[index] = Math.min(costs[index]!, cost);
        if (cost < best.cost) best = { cost, index, fitted: fitted.slice() };
      });
    },
  };
}
