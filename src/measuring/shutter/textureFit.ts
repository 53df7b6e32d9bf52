import { solveInPlace } from '../../domain/linearAlgebra.ts';
import { sectorCount, type CurvePoint } from './attenuationCurve.ts';

/**
 * How a scene's own differences between directions are told from blur. The two ways fail differently:
 * `isotropic`, one slope over cos², is tight, but detail that runs one way pulls it; `sectors`, a gain and a slope for
 * each fifth of the angles, rests on the zeros alone and survives walls and trunks.
 */
export type TextureModel = 'isotropic' | 'sectors';

/** One shape of attenuation to be tried. */
interface Trial {
  readonly shape: Float64Array;
  /** What the overall gain is believed to be: it makes up for the blur of the reference. */
  readonly gain: number;
  readonly rounds: number;
  /** Unknowns to start from; overwritten with those found. */
  readonly state: Float64Array;
  /** Overwritten with the attenuations that the trial explains. */
  readonly fitted: Float64Array;
}

/** Added to attenuations before their logarithm is taken: below it there is nothing left to tell. */
const floor = 0.012;
/** Residuals beyond this count linearly (Huber 1964): a line in the scene is no measurement of the blur. */
const huber = 0.8;
const residualSpread = { isotropic: 0.18, sectors: 0.25 } as const;
/** Neighbouring steps of q share frequencies through the window and are not independent. */
const correlation = 2.5;

/** Gauss-Newton over gain and texture, prepared for one curve. */
export function planTexture(points: readonly CurvePoint[], model: TextureModel) {
  const design = model === 'isotropic' ? isotropic(points) : sectors(points);
  const { unknowns } = design;
  const spread = residualSpread[model];
  const problem: TextureProblem = {
    design,
    observed: Float64Array.from(points, (point) => Math.log(Math.max(0, point.attenuation) + floor)),
    weights: Float64Array.from(
      points,
      (point) => 1 / (spread ** 2 + 4 / point.weight + point.errorOfLog ** 2) / correlation,
    ),
  };
  // Made once: small arrays by the hundred thousand cost more than what is worked out in them.
  const rows = Array.from({ length: unknowns }, () => new Float64Array(unknowns + 1));
  const step = new Float64Array(unknowns);
  return {
    unknowns,
    /** Takes one shape and gives its cost: twice a negative log-likelihood. */
    settle: (trial: Trial): number => {
      for (let round = 0; round < trial.rounds; round++) {
        linearise(problem, trial, rows);
        solveInPlace(rows, step);
        for (let j = 0; j < unknowns; j++) trial.state[j]! += Math.max(-2, Math.min(2, step[j]!));
      }
      predict(design, trial);
      return costOf(problem, trial);
    },
  };
}

interface TextureProblem {
  readonly design: TextureDesign;
  /** log(attenuation + floor) of each point. */
  readonly observed: Float64Array;
  readonly weights: Float64Array;
}

/** Which unknowns each point depends on, and how strongly: `perPoint` entries for each. */
interface TextureDesign {
  readonly unknowns: number;
  /** 1 / variance of what is believed of each unknown beforehand. */
  readonly precision: Float64Array;
  readonly perPoint: number;
  readonly unknown: Uint8Array;
  readonly factor: Float64Array;
}

const overallSpread = 0.15;
/** Ground that lies at a slant has up to four times the power along than across (reasoned, for 35 degrees). */
const slantSpread = 1;
const sectorSlopeSpread = 0.35;
const sectorGainSpread = 0.5;

function isotropic(points: readonly CurvePoint[]): TextureDesign {
  return {
    unknowns: 2,
    precision: Float64Array.of(overallSpread ** -2, slantSpread ** -2),
    perPoint: 2,
    unknown: Uint8Array.from(points.flatMap(() => [0, 1])),
    factor: Float64Array.from(points.flatMap(({ cosSquared }) => [1, cosSquared])),
  };
}

function sectors(points: readonly CurvePoint[]): TextureDesign {
  const middle = Array.from({ length: sectorCount }, (_, sector) => {
    const logs = points
      .filter((point) => point.sector === sector)
      .map((point) => Math.log(point.cyclesPerFrame));
    return logs.reduce((sum, value) => sum + value, 0) / Math.max(1, logs.length);
  });
  return {
    unknowns: 1 + 2 * sectorCount,
    precision: Float64Array.of(
      overallSpread ** -2,
      ...Array<number>(sectorCount).fill(sectorGainSpread ** -2),
      ...Array<number>(sectorCount).fill(sectorSlopeSpread ** -2),
    ),
    perPoint: 3,
    unknown: Uint8Array.from(points.flatMap(({ sector }) => [0, 1 + sector, 1 + sectorCount + sector])),
    factor: Float64Array.from(
      points.flatMap(({ sector, cyclesPerFrame }) => [1, 1, Math.log(cyclesPerFrame) - middle[sector]!]),
    ),
  };
}

/** Writes the normal equations of one step. */
function linearise(
  { design, observed, weights }: TextureProblem,
  trial: Trial,
  rows: readonly Float64Array[],
): void {
  const { unknowns, precision, perPoint, unknown, factor } = design;
  const { state, fitted, gain } = trial;
  for (let j = 0; j < unknowns; j++) {
    rows[j]!.fill(0);
    rows[j]![j] = precision[j]!;
    rows[j]![unknowns] = precision[j]! * ((j === 0 ? gain : 0) - state[j]!);
  }
  predict(design, trial);
  for (let i = 0; i < observed.length; i++) {
    const off = observed[i]! - Math.log(fitted[i]! + floor);
    const slope = fitted[i]! / (fitted[i]! + floor);
    const weight = (weights[i]! / Math.max(1, Math.abs(off) / huber)) * slope;
    const end = (i + 1) * perPoint;
    for (let a = i * perPoint; a < end; a++) {
      const row = rows[unknown[a]!]!;
      const pull = weight * factor[a]!;
      for (let b = i * perPoint; b < end; b++) row[unknown[b]!]! += pull * slope * factor[b]!;
      row[unknowns]! += pull * off;
    }
  }
}

function costOf({ design, observed, weights }: TextureProblem, { state, fitted, gain }: Trial): number {
  let cost = 0;
  for (let j = 0; j < state.length; j++)
    cost += design.precision[j]! * (state[j]! - (j === 0 ? gain : 0)) ** 2;
  for (let i = 0; i < observed.length; i++) {
    const off = Math.abs(observed[i]! - Math.log(fitted[i]! + floor));
    cost += weights[i]! * (off < huber ? off * off : 2 * huber * off - huber * huber);
  }
  return cost;
}

function predict({ perPoint, unknown, factor }: TextureDesign, { shape, state, fitted }: Trial): void {
  for (let i = 0; i < fitted.length; i++) {
    let texture = 0;
    for (let a = i * perPoint; a < (i + 1) * perPoint; a++) texture += state[unknown[a]!]! * factor[a]!;
    fitted[i] = Math.exp(texture) * shape[i]!;
  }
}
