// IEC 61966-2-1:1999, equations as in its amendment 1 (2003).
const slope = 12.92;
const linearEnd = 0.0031308;
const signalLinearEnd = 0.04045;
const gain = 1.055;
const offset = 0.055;
const power = 2.4;

/**
 * sRGB signal [0, 1] of light [0, 1] (1 = display white). Source: IEC 61966-2-1.
 * @example encodeSrgb(0.18) // 0.461356
 */
export function encodeSrgb(light: number): number {
  return light <= linearEnd ? slope * light : gain * light ** (1 / power) - offset;
}

/**
 * Light [0, 1] of an sRGB signal [0, 1]; negative signals stay on the straight part. Source: IEC 61966-2-1.
 * @example decodeSrgb(0.461356) // 0.18000
 */
export function decodeSrgb(signal: number): number {
  return signal <= signalLinearEnd ? signal / slope : ((signal + offset) / gain) ** power;
}
