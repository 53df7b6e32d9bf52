import {
  choleskyFactor,
  diagonal,
  logDeterminant,
  solveLower,
  solveUpper,
  type Matrix,
} from '../domain/linearAlgebra.ts';
import { logGamma, type StudentT } from './distributions.ts';

/*
 * Bayesian linear regression with the normal-inverse-gamma prior, which is conjugate, so that the posterior is a closed
 * form (Bishop, Pattern Recognition and Machine Learning, 2006, section 3.3 and exercise 3.12; Gelman et al., Bayesian
 * Data Analysis, 3rd edition, chapter 14):
 *
 *   y = x'b + shift(group) + noise,   noise ~ N(0, s2),   shift ~ N(0, r s2),   b ~ N(m, s2 V),   s2 ~ IG(a, c)
 *
 * The members of a group (one flight) share a shift that nobody sees. It is integrated out: the covariance within a
 * group of n is s2 (I + r 11'), whose inverse is (I - r / (1 + n r) 11') / s2 (Sherman & Morrison).
 */

export interface Prior {
  /** m */
  readonly mean: readonly number[];
  /** Diagonal of V: variances in units of the noise variance. */
  readonly variance: readonly number[];
  /** a and c of the noise variance. */
  readonly shape: number;
  readonly rate: number;
}

/** Which coefficients count in an observation, and by how much. */
export interface Terms {
  readonly at: readonly number[];
  readonly by: readonly number[];
}

export interface Observation extends Terms {
  readonly y: number;
}

/** All that the data say, whatever r is. Sums of y are of what the prior mean does not expect. */
interface Sums {
  readonly count: number;
  readonly gram: Matrix;
  readonly cross: Float64Array;
  readonly square: number;
  readonly groups: readonly { readonly count: number; readonly terms: Terms; readonly y: number }[];
}

export interface Posterior {
  readonly mean: Float64Array;
  /** Lower factor of the precision of the coefficients, in units of 1 / noise variance. */
  readonly precisionFactor: Matrix;
  readonly shape: number;
  readonly rate: number;
  /** r: variance of the shift of a group, in units of the noise variance. */
  readonly groupVariance: number;
  readonly logEvidence: number;
  readonly count: number;
}

/** Adds the observations up. Each inner list is a group. */
export function sumsOf(prior: Prior, groups: readonly (readonly Observation[])[]): Sums {
  const size = prior.mean.length;
  const gram = diagonal(prior.mean.map(() => 0));
  const cross = new Float64Array(size);
  let square = 0;
  let count = 0;
  const perGroup = groups.map((members) => {
    const sum = new Map<number, number>();
    let total = 0;
    for (const { at, by, y } of members) {
      const difference = y - product(prior.mean, { at, by });
      for (let i = 0; i < at.length; i++) {
        const row = gram[at[i]!]!;
        for (let j = 0; j < at.length; j++) row[at[j]!]! += by[i]! * by[j]!;
        cross[at[i]!]! += by[i]! * difference;
        sum.set(at[i]!, (sum.get(at[i]!) ?? 0) + by[i]!);
      }
      square += difference * difference;
      total += difference;
    }
    count += members.length;
    return { count: members.length, terms: { at: [...sum.keys()], by: [...sum.values()] }, y: total };
  });
  return { count, gram, cross, square, groups: perGroup };
}

export function posteriorOf(prior: Prior, sums: Sums, groupVariance: number): Posterior {
  const precision = sums.gram.map((row, at) => {
    const own = Float64Array.from(row);
    own[at]! += 1 / prior.variance[at]!;
    return own;
  });
  const cross = Float64Array.from(sums.cross);
  let square = sums.square;
  let logGroups = 0;
  for (const { count, terms, y } of sums.groups) {
    const share = groupVariance / (1 + count * groupVariance);
    for (let i = 0; i < terms.at.length; i++) {
      const row = precision[terms.at[i]!]!;
      for (let j = 0; j < terms.at.length; j++) row[terms.at[j]!]! -= share * terms.by[i]! * terms.by[j]!;
      cross[terms.at[i]!]! -= share * terms.by[i]! * y;
    }
    square -= share * y * y;
    logGroups += Math.log1p(count * groupVariance);
  }
  const precisionFactor = choleskyFactor(precision);
  const half = solveLower(precisionFactor, cross);
  const explained = half.reduce((sum, value) => sum + value * value, 0);
  const shape = prior.shape + sums.count / 2;
  const rate = prior.rate + Math.max(0, square - explained) / 2;
  const logPriorVariance = prior.variance.reduce((sum, value) => sum + Math.log(value), 0);
  return {
    mean: solveUpper(precisionFactor, half).map((value, at) => value + prior.mean[at]!),
    precisionFactor,
    shape,
    rate,
    groupVariance,
    count: sums.count,
    logEvidence:
      (-sums.count / 2) * Math.log(2 * Math.PI) -
      (logPriorVariance + logDeterminant(precisionFactor) + logGroups) / 2 +
      prior.shape * Math.log(prior.rate) -
      shape * Math.log(rate) +
      logGamma(shape) -
      logGamma(prior.shape),
  };
}

/** Distribution of one new observation, of a group that was not seen before. */
export function predictive(posterior: Posterior, terms: Terms): StudentT {
  return distribution(posterior, terms, 1 + posterior.groupVariance);
}

/** Distribution of what the coefficients add up to, without noise. */
export function estimate(posterior: Posterior, terms: Terms): StudentT {
  return distribution(posterior, terms, 0);
}

function distribution(posterior: Posterior, terms: Terms, ownVariance: number): StudentT {
  const right = new Float64Array(posterior.mean.length);
  terms.at.forEach((index, i) => (right[index]! += terms.by[i]!));
  const half = solveLower(posterior.precisionFactor, right);
  const variance = half.reduce((sum, value) => sum + value * value, ownVariance);
  return {
    location: product(posterior.mean, terms),
    scale: Math.sqrt((posterior.rate / posterior.shape) * variance),
    degreesOfFreedom: 2 * posterior.shape,
  };
}

function product(coefficients: ArrayLike<number>, { at, by }: Terms): number {
  let sum = 0;
  for (let i = 0; i < at.length; i++) sum += coefficients[at[i]!]! * by[i]!;
  return sum;
}
