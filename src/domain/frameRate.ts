/** Frames per second as an exact ratio: 30000/1001, 25/1. Both parts are positive integers. */
export interface FrameRate {
  readonly numerator: number;
  readonly denominator: number;
}

/** Rates that cameras name in their menus: BT.709's 24, 25, 30, 50, 60, their multiples, and the /1.001 versions. */
const nominalRates: readonly FrameRate[] = [24, 25, 30, 48, 50, 60, 100, 120, 200, 240].flatMap((rate) => [
  { numerator: rate, denominator: 1 },
  ...(rate % 24 === 0 || rate % 30 === 0 ? [{ numerator: rate * 1000, denominator: 1001 }] : []),
]);

/**
 * 23.98 stands for 23.976024 (1.7e-4 away) and must not reach 24 (1e-3 away). Averages of files with an uneven rate
 * miss by more than this and stay what they are.
 */
const sameRateFraction = 2e-4;

const greatestCommonDivisor = (a: number, b: number): number =>
  b === 0 ? a : greatestCommonDivisor(b, a % b);

function reduced(numerator: number, denominator: number): FrameRate {
  const divisor = greatestCommonDivisor(numerator, denominator);
  return { numerator: numerator / divisor, denominator: denominator / divisor };
}

/**
 * Reads a rate written as a ratio. `0/0`, which probing programs print for an unknown rate, is unknown here too.
 * @returns the ratio in lowest terms
 * @example parseFrameRate('30000/1001') // { numerator: 30000, denominator: 1001 }
 */
export function parseFrameRate(text: string): FrameRate | undefined {
  const parts = /^\s*(\d{1,15})\s*\/\s*(\d{1,15})\s*$/.exec(text);
  const numerator = Number(parts?.[1]);
  const denominator = Number(parts?.[2]);
  return numerator > 0 && denominator > 0 ? reduced(numerator, denominator) : undefined;
}

/**
 * @returns frames per second, > 0
 * @example framesPerSecond({ numerator: 24000, denominator: 1001 }) // 23.976024
 */
export function framesPerSecond(rate: FrameRate): number {
  return rate.numerator / rate.denominator;
}

/**
 * The exact ratio behind a rate written as a decimal: one of the usual rates where the number can only mean that,
 * else the decimal itself to a millionth.
 * @param rate frames per second
 * @example frameRateFromNumber(23.976) // { numerator: 24000, denominator: 1001 }
 */
export function frameRateFromNumber(rate: number): FrameRate | undefined {
  if (!Number.isFinite(rate) || rate < 1e-6) return undefined;
  return nominalRate(rate) ?? reduced(Math.round(rate * 1e6), 1e6);
}

/**
 * The usual rate that a number stands for.
 * @param rate frames per second
 * @param within how far it may be off, as a fraction: below 0.0005, or 24 and 24000/1001 are one
 * @returns the nearest usual rate within that, or undefined
 * @example nominalRate(59.94) // { numerator: 60000, denominator: 1001 }
 */
export function nominalRate(rate: number, within = sameRateFraction): FrameRate | undefined {
  const miss = (nominal: FrameRate) => Math.abs(framesPerSecond(nominal) / rate - 1);
  const near = nominalRates.filter((nominal) => miss(nominal) <= within);
  return near.sort((a, b) => miss(a) - miss(b))[0];
}

/**
 * Whether two rates are the same but for how they were written; 24 and 24000/1001 are not.
 * @example sameRate({ numerator: 2398, denominator: 100 }, { numerator: 24000, denominator: 1001 }) // true
 */
export function sameRate(a: FrameRate, b: FrameRate): boolean {
  return Math.abs(framesPerSecond(a) / framesPerSecond(b) - 1) <= sameRateFraction;
}

/**
 * The frame that is showing at a time.
 * @returns frame index from 0
 * @example frameIndexAt({ seconds: 59.99, frameRate: { numerator: 25, denominator: 1 } }) // 1499
 */
export function frameIndexAt(place: { readonly seconds: number; readonly frameRate: FrameRate }): number {
  const frames = (place.seconds * place.frameRate.numerator) / place.frameRate.denominator;
  // A millionth of a frame keeps a start time that went through floating point in its own frame.
  return Math.max(0, Math.floor(frames + 1e-6));
}
