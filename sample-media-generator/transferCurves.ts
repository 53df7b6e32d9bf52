/** Scene light to signal, both 0 at black and 1 at the nominal peak. */
export type TransferCurve = (light: number) => number;

/** ITU-R BT.709-6, item 1.2, with its printed constants. */
export function bt709(light: number): number {
  return light < 0.018 ? 4.5 * light : 1.099 * light ** 0.45 - 0.099;
}

/** ITU-R BT.2100-2, table 5: the HLG opto-electronic transfer function over light normalised to [0, 1]. */
export function hlg(light: number): number {
  const a = 0.17883277;
  const b = 1 - 4 * a;
  const c = 0.5 - a * Math.log(4 * a);
  return light <= 1 / 12 ? Math.sqrt(3 * light) : a * Math.log(12 * light - b) + c;
}

/** IEC 61966-2-1, for the stills. */
export function srgb(light: number): number {
  return light <= 0.0031308 ? 12.92 * light : 1.055 * light ** (1 / 2.4) - 0.055;
}

/**
 * A table over the square root of light, because the curves are steepest at black.
 * Index it with `Math.sqrt(light) * CURVE_TABLE_STEPS + 0.5`.
 */
export const CURVE_TABLE_STEPS = 16384;

export function tabulate(curve: TransferCurve): Float32Array {
  return Float32Array.from({ length: CURVE_TABLE_STEPS + 2 }, (_, step) =>
    curve(Math.min(1, step / CURVE_TABLE_STEPS) ** 2),
  );
}
