/** Makes the median absolute deviation of a normal distribution equal its standard deviation: 1 / 0.674490. */
const normalConsistency = 1.482602;

/**
 * Quantile by linear interpolation between order statistics (type 7 of Hyndman & Fan 1996, position (n - 1) p).
 * @param values finite numbers in any order
 * @param probability [0, 1]
 * @returns undefined where there are no values
 * @example quantile([1, 2, 3, 4], 0.25) // 1.75
 */
export function quantile(values: readonly number[], probability: number): number | undefined {
  const sorted = [...values].sort((a, b) => a - b);
  const position = (sorted.length - 1) * Math.min(1, Math.max(0, probability));
  const below = sorted[Math.floor(position)];
  const above = sorted[Math.ceil(position)];
  if (below === undefined || above === undefined) return undefined;
  return below + (above - below) * (position - Math.floor(position));
}

/**
 * @returns the middle value, or the mean of the two middle ones; undefined where there are none
 * @example median([3, 1, 2, 10]) // 2.5
 */
export function median(values: readonly number[]): number | undefined {
  return quantile(values, 0.5);
}

/**
 * Spread that a few wild values do not move: the standard deviation a normal distribution with this median absolute
 * deviation would have.
 * @returns same unit as the values, >= 0; undefined where there are none
 * Source: Rousseeuw & Croux 1993, factor 1.4826.
 * @example robustSpread([1, 1, 2, 2, 4, 6, 9]) // 1.4826
 */
export function robustSpread(values: readonly number[]): number | undefined {
  const middle = median(values);
  const deviation =
    middle === undefined ? undefined : median(values.map((value) => Math.abs(value - middle)));
  return deviation === undefined ? undefined : normalConsistency * deviation;
}
