import fc from 'fast-check';
import { describe, expect, it, test } from 'vitest';
import {
  estimate,
  posteriorOf,
  predictive,
  sumsOf,
  type Observation,
  type Prior,
} from '../../src/logbook/posterior.ts';
import { logGamma, mixtureBetween, type StudentT } from '../../src/logbook/distributions.ts';

/*
 * The closed form against brute force: prior times likelihood on a grid over two coefficients, the logarithm of the
 * noise variance and, for each group, its unseen shift by Gauss-Hermite-like summing. Nothing but normal and inverse
 * gamma densities is used here, no formula of the closed form.
 */

const prior: Prior = { mean: [0.5, -1], variance: [2, 1], shape: 2.5, rate: 0.3 };
const groups: readonly (readonly Observation[])[] = [
  [
    { at: [0], by: [1], y: 0.9 },
    { at: [0, 1], by: [1, 1], y: -0.2 },
    { at: [0, 1], by: [1, 0.5], y: 0.7 },
  ],
  [
    { at: [0], by: [1], y: 0.1 },
    { at: [0, 1], by: [1, 1], y: -1.4 },
  ],
];

const logNormal = (x: number, variance: number) =>
  -0.5 * (Math.log(2 * Math.PI * variance) + (x * x) / variance);

function range(low: number, high: number, count: number): readonly number[] {
  return Array.from({ length: count }, (_, at) => low + ((high - low) * (at + 0.5)) / count);
}

/** Likelihood of one group with its shift summed over a grid. */
function groupLikelihood(
  members: readonly Observation[],
  [b0, b1]: readonly [number, number],
  noise: number,
  ratio: number,
): number {
  const rest = members.map(
    ({ at, by, y }) => y - at.reduce((sum, index, i) => sum + [b0, b1][index]! * by[i]!, 0),
  );
  if (ratio === 0) return Math.exp(rest.reduce((sum, one) => sum + logNormal(one, noise), 0));
  const spread = Math.sqrt(ratio * noise);
  const shifts = range(-5 * spread, 5 * spread, 60);
  const step = (10 * spread) / 60;
  return shifts.reduce(
    (sum, shift) =>
      sum +
      step *
        Math.exp(
          logNormal(shift, ratio * noise) +
            rest.reduce((total, one) => total + logNormal(one - shift, noise), 0),
        ),
    0,
  );
}

interface Point {
  readonly weight: number;
  readonly b: readonly [number, number];
  readonly noise: number;
}

function gridPosterior(ratio: number): readonly Point[] {
  const points: Point[] = [];
  for (const logNoise of range(Math.log(0.01), Math.log(6), 44)) {
    const noise = Math.exp(logNoise);
    // Inverse gamma on the logarithmic scale (its constant cancels).
    const logPriorNoise = -prior.shape * logNoise - prior.rate / noise;
    for (const b0 of range(-3, 4, 46))
      for (const b1 of range(-4.5, 2.5, 46)) {
        const logPrior =
          logPriorNoise +
          logNormal(b0 - prior.mean[0]!, prior.variance[0]! * noise) +
          logNormal(b1 - prior.mean[1]!, prior.variance[1]! * noise);
        const likelihood = groups.reduce(
          (product, members) => product * groupLikelihood(members, [b0, b1], noise, ratio),
          1,
        );
        points.push({ weight: Math.exp(logPrior) * likelihood, b: [b0, b1], noise });
      }
  }
  const total = points.reduce((sum, { weight }) => sum + weight, 0);
  return points.map((point) => ({ ...point, weight: point.weight / total }));
}

const cumulative = (part: StudentT, value: number) => mixtureBetween([{ weight: 1, part }], -Infinity, value);
const normalCumulative = (z: number) => cumulative({ location: 0, scale: 1, degreesOfFreedom: 1e7 }, z);

describe.each([0, 1])('posteriorOf() with a group variance of %d', (ratio) => {
  const closed = posteriorOf(prior, sumsOf(prior, groups), ratio);
  const grid = gridPosterior(ratio);
  const mean = (of: (point: Point) => number) =>
    grid.reduce((sum, point) => sum + point.weight * of(point), 0);

  it('has the means of the grid', () => {
    expect(Math.abs(closed.mean[0]! - mean(({ b }) => b[0]))).toBeLessThan(0.01);
    expect(Math.abs(closed.mean[1]! - mean(({ b }) => b[1]))).toBeLessThan(0.01);
    const noise = closed.rate / (closed.shape - 1);
    expect(Math.abs(noise / mean((point) => point.noise) - 1)).toBeLessThan(0.03);
  });

  it('has the spread of the grid', () => {
    const part = estimate(closed, { at: [1], by: [1] });
    const variance = (part.scale ** 2 * part.degreesOfFreedom) / (part.degreesOfFreedom - 2);
    const middle = mean(({ b }) => b[1]);
    expect(Math.abs(variance / mean(({ b }) => (b[1] - middle) ** 2) - 1)).toBeLessThan(0.03);
  });

  // A new recording of a new group: the normal of each grid point, weighed.
  test.each([-2, -0.5, 0, 0.6, 2])('predicts as the grid does below %d', (value) => {
    const closedBelow = cumulative(predictive(closed, { at: [0, 1], by: [1, 1] }), value);
    const gridBelow = mean(({ b, noise }) =>
      normalCumulative((value - b[0] - b[1]) / Math.sqrt(noise * (1 + ratio))),
    );
    expect(Math.abs(closedBelow - gridBelow)).toBeLessThan(0.005);
  });
});

describe('the evidence', () => {
  it('weighs two group variances as the grid does', () => {
    const sums = sumsOf(prior, groups);
    const closed = posteriorOf(prior, sums, 1).logEvidence - posteriorOf(prior, sums, 0).logEvidence;
    const total = (ratio: number) => {
      let sum = 0;
      for (const logNoise of range(Math.log(0.01), Math.log(6), 44)) {
        const noise = Math.exp(logNoise);
        for (const b0 of range(-3, 4, 46))
          for (const b1 of range(-4.5, 2.5, 46))
            sum +=
              Math.exp(
                -prior.shape * logNoise -
                  prior.rate / noise +
                  logNormal(b0 - 0.5, 2 * noise) +
                  logNormal(b1 + 1, noise),
              ) * groups.reduce((all, members) => all * groupLikelihood(members, [b0, b1], noise, ratio), 1);
      }
      return Math.log(sum);
    };
    expect(Math.abs(closed - (total(1) - total(0)))).toBeLessThan(0.01);
  });
});

describe('learning', () => {
  it('without observations is the prior', () => {
    const none = posteriorOf(prior, sumsOf(prior, []), 1);
    expect([...none.mean]).toEqual([...prior.mean]);
    expect([none.shape, none.rate]).toEqual([prior.shape, prior.rate]);
  });

  it('does not depend on the order of groups or their members', () => {
    fc.assert(
      fc.property(
        fc.shuffledSubarray([0, 1], { minLength: 2, maxLength: 2 }),
        fc.boolean(),
        (order, back) => {
          const mixed = order.map((at) => (back ? groups[at]!.toReversed() : groups[at]!));
          const a = posteriorOf(prior, sumsOf(prior, mixed), 1);
          const b = posteriorOf(prior, sumsOf(prior, groups), 1);
          expect(a.mean[0]).toBeCloseTo(b.mean[0]!, 10);
          expect(a.rate).toBeCloseTo(b.rate, 10);
        },
      ),
    );
  });

  it('in two steps is learning in one, where groups do not share a shift', () => {
    const all = sumsOf(prior, [groups.flat()]);
    const once = posteriorOf(prior, all, 0);
    const split = posteriorOf(prior, sumsOf(prior, groups), 0);
    expect(once.mean[1]).toBeCloseTo(split.mean[1]!, 12);
    expect(once.logEvidence).toBeCloseTo(split.logEvidence, 10);
  });
});

describe("Student's t", () => {
  // Table of the t distribution, NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.2: upper critical values.
  test.each([
    [1, 0.95, 6.314],
    [2, 0.975, 4.303],
    [5, 0.95, 2.015],
    [10, 0.975, 2.228],
    [30, 0.9, 1.31],
    [100, 0.99, 2.364],
  ])('with %d degrees of freedom has %d below %d', (degreesOfFreedom, probability, value) => {
    const part: StudentT = { location: 0, scale: 1, degreesOfFreedom };
    expect(Math.abs(cumulative(part, value) - probability)).toBeLessThan(2e-4);
  });

  function density({ location, scale, degreesOfFreedom }: StudentT, value: number): number {
    const t = (value - location) / scale;
    const half = (degreesOfFreedom + 1) / 2;
    const logNorm =
      logGamma(half) - logGamma(degreesOfFreedom / 2) - 0.5 * Math.log(degreesOfFreedom * Math.PI);
    return Math.exp(logNorm - half * Math.log1p((t * t) / degreesOfFreedom)) / scale;
  }

  it('has the density that its distribution rises by', () => {
    const part: StudentT = { location: 1, scale: 0.7, degreesOfFreedom: 6 };
    for (const x of [-1, 0.5, 1, 2.5]) {
      const slope = (cumulative(part, x + 1e-5) - cumulative(part, x - 1e-5)) / 2e-5;
      expect(Math.abs(slope - density(part, x))).toBeLessThan(1e-6);
    }
  });
});
