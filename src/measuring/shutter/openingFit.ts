import { boxAttenuation, referenceAttenuation } from './boxExposure.ts';
import { solve } from './normalEquations.ts';
import { pool, sectorCount } from './pooling.ts';
import type { CurvePoint, TileRatios } from './pooling.ts';

// log(m + floor) = log(exp(gain + texture) · [(1 - fill(q))·box(a, q) + fill(q)] + floor), for every share a on a grid.
// `texture` is what differs between directions in the scene itself. It is told in one of two ways, which fail
// differently:
//   isotropic  one slope over cos²: tight, but detail that runs one way pulls it
//   sectors    a gain and a slope for each fifth of the angles: rests on the zeros alone, survives walls and trunks

export type TextureModel = 'isotropic' | 'sectors';

/** How well each open share of the frame time explains a curve. */
export interface OpeningFit {
  readonly model: TextureModel;
  /** Half squared misfits are log-likelihoods; one value for each entry of `openFractions`. */
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

/** Open shares tried: 7 to 450 degrees in 24ths of a stop. */
export const openFractions: readonly number[] = Array.from({ length: 144 }, (_, i) => 0.02 * 2 ** (i / 24));
export const stepStops = 1 / 24;

const floor = 0.012;
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
const gainSpread = 0.15;
const spreads = {
  isotropic: { slope: 0.35, residual: 0.18, rounds: 4 },
  sectors: { slope: 0.35, gain: 0.5, residual: 0.25, rounds: 3 },
} as const;
/** Neighbouring steps of q share frequencies through the window and are not independent. */
const correlation = 2.5;
const huber = 0.8;
const leastTiles = 8;
const leastPoints = 12;

/** Columns of the design: which unknowns a point depends on, and how strongly. */
interface Design {
  readonly unknowns: number;
  readonly precision: Float64Array;
  readonly columns: readonly (readonly [unknown: number, factor: number][])[];
}

/** @returns undefined where there are too few tiles or the curve has too few points */
export function fitOpening(tiles: readonly TileRatios[], model: TextureModel): OpeningFit | undefined {
  const points = pool(tiles, model === 'isotropic' ? 'together' : 'apart');
  if (tiles.length < leastTiles || points.length < leastPoints) return undefined;
  const levelPixelsPerFrame = tiles.reduce((sum, tile) => sum + tile.levelPixelsPerFrame, 0) / tiles.length;
  const design = model === 'isotropic' ? isotropicDesign(points) : sectorDesign(points);
  const observed = Float64Array.from(points, (point) => Math.log(Math.max(0, point.attenuation) + floor));
  const { residual, rounds } = spreads[model];
  const weights = Float64Array.from(points, (point) => 1 / (residual ** 2 + 4 / point.weight) / correlation);
  const costs = new Float64Array(openFractions.length);
  let best: { cost: number; index: number; fitted: Float64Array } = { cost: Infinity, index: 0, fitted: observed };
  openFractions.forEach((open, index) => {
    const box = Float64Array.from(points, ({ cyclesPerFrame }) =>
      boxAttenuation(open, cyclesPerFrame, levelPixelsPerFrame),
    );
    const gain = -Math.log(referenceAttenuation(open, levelPixelsPerFrame));
    costs[index] = Infinity;
    for (const { even, grain } of fills) {
      const filled = box.map((value, i) => {
        const fill = Math.min(0.9, even + grain * points[i]!.floorShare);
        return (1 - fill) * value + fill;
      });
      const tried = settle({ design, observed, weights, filled, gain, rounds });
      const cost = tried.cost + (even + grain > 0 ? 1 : 0);
      costs[index] = Math.min(costs[index]!, cost);
      if (cost < best.cost) best = { cost, index, fitted: tried.fitted };
    }
  });
  return {
    model,
    costs,
    bestIndex: best.index,
    misfit: best.cost / points.length,
    points,
    fitted: best.fitted,
    levelPixelsPerFrame,
    tileCount: tiles.length,
  };
}

function isotropicDesign(points: readonly CurvePoint[]): Design {
  return {
    unknowns: 2,
    precision: Float64Array.of(gainSpread ** -2, spreads.isotropic.slope ** -2),
    columns: points.map(({ cosSquared }) => [
      [0, 1],
      [1, cosSquared],
    ]),
  };
}

function sectorDesign(points: readonly CurvePoint[]): Design {
  const middle = Array.from({ length: sectorCount }, (_, sector) => {
    const logs = points
      .filter((point) => point.sector === sector)
      .map((point) => Math.log(point.cyclesPerFrame));
    return logs.reduce((sum, value) => sum + value, 0) / Math.max(1, logs.length);
  });
  const { gain, slope } = spreads.sectors;
  return {
    unknowns: 1 + 2 * sectorCount,
    precision: Float64Array.of(
      gainSpread ** -2,
      ...Array<number>(sectorCount).fill(gain ** -2),
      ...Array<number>(sectorCount).fill(slope ** -2),
    ),
    columns: points.map(({ sector, cyclesPerFrame }) => [
      [0, 1],
      [1 + sector, 1],
      [1 + sectorCount + sector, Math.log(cyclesPerFrame) - middle[sector]!],
    ]),
  };
}

interface Problem {
  readonly design: Design;
  readonly observed: Float64Array;
  readonly weights: Float64Array;
  readonly filled: Float64Array;
  readonly gain: number;
  readonly rounds: number;
}

/** Gauss-Newton over gain and texture for one shape of attenuation, outliers held back after Huber. */
function settle(problem: Problem): { readonly cost: number; readonly fitted: Float64Array } {
  const { design, observed, weights, gain } = problem;
  const { unknowns, precision, columns } = design;
  const state = new Float64Array(unknowns);
  state[0] = gain;
  for (let round = 0; round < problem.rounds; round++) {
    const rows = Array.from({ length: unknowns }, () => new Float64Array(unknowns + 1));
    for (let j = 0; j < unknowns; j++) {
      rows[j]![j] = precision[j]!;
      rows[j]![unknowns] = precision[j]! * ((j === 0 ? gain : 0) - state[j]!);
    }
    const fitted = predict(problem, state);
    for (let i = 0; i < observed.length; i++) {
      const off = observed[i]! - Math.log(fitted[i]! + floor);
      const slope = fitted[i]! / (fitted[i]! + floor);
      const weight = (weights[i]! / Math.max(1, Math.abs(off) / huber)) * slope;
      for (const [j, factor] of columns[i]!) {
        const row = rows[j]!;
        for (const [k, other] of columns[i]!) row[k]! += weight * slope * factor * other;
        row[unknowns]! += weight * factor * off;
      }
    }
    const step = solve(rows);
    for (let j = 0; j < unknowns; j++) state[j]! += Math.max(-2, Math.min(2, step[j]!));
  }
  const fitted = predict(problem, state);
  let cost = 0;
  for (let j = 0; j < unknowns; j++) cost += precision[j]! * (state[j]! - (j === 0 ? gain : 0)) ** 2;
  for (let i = 0; i < observed.length; i++) {
    const off = Math.abs(observed[i]! - Math.log(fitted[i]! + floor));
    cost += weights[i]! * (off < huber ? off * off : 2 * huber * off - huber * huber);
  }
  return { cost, fitted };
}

function predict({ design, filled }: Problem, state: Float64Array): Float64Array {
  const fitted = new Float64Array(filled.length);
  for (let i = 0; i < fitted.length; i++) {
    let texture = 0;
    for (const [j, factor] of design.columns[i]!) texture += state[j]! * factor;
    fitted[i] = Math.exp(texture) * filled[i]!;
  }
  return fitted;
}
