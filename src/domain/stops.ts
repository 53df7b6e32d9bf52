/**
 * Light ratio in stops.
 *
 * @param ratio light against a reference, > 0
 * @returns stops, + = more light
 * Source: one stop is a factor of two (ISO 2720 exposure steps).
 * @example stopsFromRatio(8) // 3
 */
export function stopsFromRatio(ratio: number): number {
  return Math.log2(ratio);
}

/**
 * Stops as a light ratio.
 *
 * @param stops + = more light
 * @returns ratio, > 0
 * @example ratioFromStops(-4) // 0.0625
 */
export function ratioFromStops(stops: number): number {
  return 2 ** stops;
}

/**
 * Half of the third-stop step in which cameras set shutter, ISO and compensation (ISO 2720 and ISO 12232 list the marks;
 * from memory). What is off by less can be set no better.
 */
export const halfSettingStepStops = 1 / 6;
