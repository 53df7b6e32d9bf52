import { boxAttenuation, referenceAttenuation } from './boxExposure.ts';
import { pool } from './pooling.ts';
import type { CurvePoint, TileRatios } from './pooling.ts';
import { textureDesign } from './textureDesign.ts';
import type { TextureModel } from './textureDesign.ts';
import { floor, settleTexture } from './textureFit.ts';

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
const residualSpread = { isotropic: 0.18, sectors: 0.25 } as const;
/** Neighbouring steps of q share frequencies through the window and are not independent. */
const correlation = 2.5;
const leastTiles = 8;
const leastPoints = 12;
const firstRounds = 5;
/** Later trials start from a neighbour's solution. */
const nextRounds = 2;

/** @returns undefined where there are too few tiles or the curve has too few points */
export function fitOpening(tiles: readonly TileRatios[], model: TextureModel): OpeningFit | undefined {
  const points = pool(tiles, model === 'isotropic' ? 'together' : 'apart');
  if (tiles.length < leastTiles || points.length < leastPoints) return undefined;
  const levelPixelsPerFrame = tiles.reduce((sum, tile) => sum + tile.levelPixelsPerFrame, 0) / tiles.length;
  const spread = residualSpread[model];
  const problem = {
    design: textureDesign(points, model),
    observed: Float64Array.from(points, (point) => Math.log(Math.max(0, point.attenuation) + floor)),
    weights: Float64Array.from(points, (point) => 1 / (spread ** 2 + 4 / point.weight) / correlation),
  };
  const states = fills.map(() => new Float64Array(problem.design.unknowns));
  const [shape, fitted] = [new Float64Array(points.length), new Float64Array(points.length)];
  const costs = new Float64Array(openFractions.length).fill(Infinity);
  let best = { cost: Infinity, index: 0, fitted };
  openFractions.forEach((open, index) => {
    const box = points.map(({ cyclesPerFrame }) => boxAttenuation(open, cyclesPerFrame, levelPixelsPerFrame));
    const gain = -Math.log(referenceAttenuation(open, levelPixelsPerFrame));
    fills.forEach(({ even, grain }, k) => {
      for (let i = 0; i < points.length; i++) {
        const fill = Math.min(0.9, even + grain * points[i]!.floorShare);
        shape[i] = (1 - fill) * box[i]! + fill;
      }
      const trial = {
        shape,
        fitted,
        gain,
        state: states[k]!,
        rounds: index === 0 ? firstRounds : nextRounds,
      };
      const cost = settleTexture(problem, trial) + (even + grain > 0 ? fillCost : 0);
      costs[index] = Math.min(costs[index]!, cost);
      if (cost < best.cost) best = { cost, index, fitted: fitted.slice() };
    });
  });
  return {
    model,
    costs,
    points,
    levelPixelsPerFrame,
    bestIndex: best.index,
    misfit: best.cost / points.length,
    fitted: best.fitted,
    tileCount: tiles.length,
  };
}
