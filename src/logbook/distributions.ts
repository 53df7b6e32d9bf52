/** Student's t with a place and a width; the usual one where those are 0 and 1. */
export interface StudentT {
  readonly location: number;
  /** > 0 */
  readonly scale: number;
  /** > 0 */
  readonly degreesOfFreedom: number;
}

/** Coefficients of Lanczos' approximation for g = 7, n = 9 (Godfrey 2001); relative error below 1e-14. */
const lanczos = [
  0.99999999999980993, 676.5203681218851, -1259.1392167224028, 771.32342877765313, -176.61502916214059,
  12.507343278686905, -0.13857109526572012, 9.9843695780195716e-6, 1.5056327351493116e-7,
];

/**
 * Natural logarithm of the gamma function, for x > 0.
 * @example logGamma(5) // 3.1780538303
 */
export function logGamma(x: number): number {
  if (x < 0.5) return Math.log(Math.PI / Math.sin(Math.PI * x)) - logGamma(1 - x);
  const [first = 0, ...others] = lanczos;
  const sum = others.reduce((total, coefficient, at) => total + coefficient / (x + at), first);
  const base = x + 6.5;
  return 0.5 * Math.log(2 * Math.PI) + (x - 0.5) * Math.log(base) - base + Math.log(sum);
}

/** Probability that one lies below `value`, through the regularised incomplete beta function, NIST DLMF 8.17. */
function cumulative({ location, scale, degreesOfFreedom }: StudentT, value: number): number {
  const t = (value - location) / scale;
  const tail = 0.5 * incompleteBeta(degreesOfFreedom / (degreesOfFreedom + t * t), degreesOfFreedom / 2, 0.5);
  return t > 0 ? 1 - tail : tail;
}

/** I_x(a, b), by the continued fraction DLMF 8.17.22 on the side where it converges fast. */
function incompleteBeta(x: number, a: number, b: number): number {
  if (x <= 0) return 0;
  if (x >= 1) return 1;
  if (x > (a + 1) / (a + b + 2)) return 1 - incompleteBeta(1 - x, b, a);
  const front = Math.exp(logGamma(a + b) - logGamma(a) - logGamma(b) + a * Math.log(x) + b * Math.log1p(-x));
  return (front / a) * betaFraction(x, a, b);
}

const mostTerms = 500;

/** Lentz's method for the continued fraction. */
function betaFraction(x: number, a: number, b: number): number {
  const away = (value: number) => (Math.abs(value) < 1e-300 ? 1e-300 : value);
  let c = 1;
  let d = 1 / away(1 - ((a + b) * x) / (a + 1));
  let fraction = d;
  for (let m = 1; m <= mostTerms; m++) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m));
    d = 1 / away(1 + even * d);
    c = away(1 + even / c);
    fraction *= d * c;
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
    d = 1 / away(1 + odd * d);
    c = away(1 + odd / c);
    fraction *= d * c;
    if (Math.abs(d * c - 1) < 1e-15) break;
  }
  return fraction;
}

/** Several distributions, each with its weight; the weights add up to 1. */
export type Mixture = readonly { readonly weight: number; readonly part: StudentT }[];

function mixtureBelow(mixture: Mixture, value: number): number {
  return mixture.reduce((sum, { weight, part }) => sum + weight * cumulative(part, value), 0);
}

/**
 * Probability that a value lies between both.
 * @example mixtureBetween([{ weight: 1, part: { location: 0, scale: 1, degreesOfFreedom: 1 } }], -Infinity, 1) // 0.75
 */
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

/** The same distribution, widened by an independent uncertainty of this standard deviation. */
export function widened(mixture: Mixture, spread: number): Mixture {
  return mixture.map(({ weight, part }) => ({
    weight,
    part: { ...part, scale: Math.hypot(part.scale, spread) },
  }));
}
