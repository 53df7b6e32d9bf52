import { cumulative, type StudentT } from './studentT.ts';

/** Several distributions, each with its weight; the weights add up to 1. */
export type Mixture = readonly { readonly weight: number; readonly part: StudentT }[];

/** Probability that a value lies below `value`. */
export function mixtureBelow(mixture: Mixture, value: number): number {
  return mixture.reduce((sum, { weight, part }) => sum + weight * cumulative(part, value), 0);
}

/** Probability that a value lies between both. */
export function mixtureBetween(mixture: Mixture, low: number, high: number): number {
  return high <= low ? 0 : mixtureBelow(mixture, high) - mixtureBelow(mixture, low);
}

export function mixtureMean(mixture: Mixture): number {
  return mixture.reduce((sum, { weight, part }) => sum + weight * part.location, 0);
}

/** The value below which a share `probability` (0 to 1, both excluded) lies, to a millionth. */
export function mixtureQuantile(mixture: Mixture, probability: number): number {
  const widest = Math.max(...mixture.map(({ part }) => part.scale));
  const centre = mixtureMean(mixture);
  let step = 4 * widest;
  while (
    mixtureBelow(mixture, centre - step) > probability ||
    mixtureBelow(mixture, centre + step) < probability
  )
    step *= 2;
  let [low, high] = [centre - step, centre + step];
  while (high - low > 1e-6) {
    const middle = (low + high) / 2;
    if (mixtureBelow(mixture, middle) < probability) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

/** The same distribution moved, and widened by an independent uncertainty of this standard deviation. */
export function shifted(mixture: Mixture, by: number, spread = 0): Mixture {
  return mixture.map(({ weight, part }) => ({
    weight,
    part: { ...part, location: part.location + by, scale: Math.hypot(part.scale, spread) },
  }));
}
