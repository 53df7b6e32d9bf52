import { solve } from './normalEquations.ts';
import type { TextureDesign } from './textureDesign.ts';

/** Added to attenuations before their logarithm is taken: below it there is nothing left to tell. */
export const floor = 0.012;
/** Residuals beyond this count linearly (Huber 1964): a line in the scene is no measurement of the blur. */
const huber = 0.8;

export interface TextureProblem {
  readonly design: TextureDesign;
  /** log(attenuation + floor) of each point. */
  readonly observed: Float64Array;
  readonly weights: Float64Array;
}

/** One shape of attenuation to be tried on a problem. */
export interface Trial {
  readonly shape: Float64Array;
  /** What the overall gain is believed to be: it makes up for the blur of the reference. */
  readonly gain: number;
  readonly rounds: number;
  /** Unknowns to start from; overwritten with those found. */
  readonly state: Float64Array;
  /** Overwritten with the attenuations that the trial explains. */
  readonly fitted: Float64Array;
}

/**
 * Prepares Gauss-Newton over gain and texture. The function takes one shape and gives its cost: twice a negative
 * log-likelihood.
 */
export function planTexture(problem: TextureProblem): (trial: Trial) => number {
  const { unknowns } = problem.design;
  // Made once: small arrays by the hundred thousand cost more than what is worked out in them.
  const rows = Array.from({ length: unknowns }, () => new Float64Array(unknowns + 1));
  const step = new Float64Array(unknowns);
  return (trial) => {
    for (let round = 0; round < trial.rounds; round++) {
      linearise(problem, trial, rows);
      solve(rows, step);
      for (let j = 0; j < unknowns; j++) trial.state[j]! += Math.max(-2, Math.min(2, step[j]!));
    }
    predict(problem.design, trial);
    return costOf(problem, trial);
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
