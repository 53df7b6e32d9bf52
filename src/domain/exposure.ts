import type { Facts } from './recording.ts';

/** Reflected-light calibration constant K in (cd/m2) s ISO; ISO 2720:1974 allows 10.6 to 13.4, 12.5 is common. */
const calibrationK = 12.5;

/** Incident-light calibration constant C in lx s ISO for a flat receptor; ISO 2720:1974 allows 240 to 400. */
const calibrationC = 250;

/** What a camera was set to, each > 0. A lens without a recorded f-number leaves `fNumber` out. */
export interface ExposureSettings {
  readonly fNumber?: number;
  readonly exposureSeconds?: number;
  readonly iso?: number;
}

/**
 * Exposure value at ISO 100 of camera settings.
 *
 * @param settings f-number, seconds, ISO, each > 0
 * @returns EV at ISO 100; undefined where a setting is unknown
 * Source: EV = log2(N^2 / t) - log2(S / 100), ISO 2720.
 * @example ev100({ fNumber: 2.8, exposureSeconds: 1 / 50, iso: 100 }) // 8.6147
 */
export function ev100({ fNumber, exposureSeconds, iso }: ExposureSettings): number | undefined {
  if (fNumber === undefined || exposureSeconds === undefined || iso === undefined) return undefined;
  return Math.log2((100 * fNumber ** 2) / (exposureSeconds * iso));
}

/**
 * Light that camera settings let in, from an origin that is the same for all settings: only differences mean something. A
 * setting that is not known counts as unchanged.
 *
 * @returns stops, + = brighter
 * Source: exposure goes with t S / N^2, ISO 2720.
 * @example settingsStops({ exposureSeconds: 1 / 2, fNumber: 2 }) // -3
 */
export function settingsStops({ exposureSeconds = 1, iso = 1, fNumber = 1 }: ExposureSettings): number {
  return Math.log2((exposureSeconds * iso) / fNumber ** 2);
}

/**
 * What a camera was set to, as far as it was recorded.
 *
 * @example settingsOf({ iso: { value: 100, source: 'EXIF' } }) // { iso: 100 }
 */
export function settingsOf({ fNumber, exposureSeconds, iso }: Facts): ExposureSettings {
  return { fNumber: fNumber?.value, exposureSeconds: exposureSeconds?.value, iso: iso?.value };
}

/**
 * Luminance that settings of an exposure value expose as a mid-tone.
 *
 * @param light EV at ISO 100; K where another calibration is wanted
 * @returns cd/m2
 * Source: 2^EV = L S / K, ISO 2720; K 12.5.
 * @example luminanceCandelasPerSquareMetre({ ev100: 15 }) // 4096
 */
export function luminanceCandelasPerSquareMetre(light: {
  readonly ev100: number;
  readonly calibrationK?: number;
}): number {
  return ((light.calibrationK ?? calibrationK) / 100) * 2 ** light.ev100;
}

/**
 * Exposure value at ISO 100 that exposes a luminance as a mid-tone.
 *
 * @param light luminance in cd/m2, > 0
 * @example ev100FromLuminance({ candelasPerSquareMetre: 4096 }) // 15
 */
export function ev100FromLuminance(light: {
  readonly candelasPerSquareMetre: number;
  readonly calibrationK?: number;
}): number {
  return Math.log2((100 * light.candelasPerSquareMetre) / (light.calibrationK ?? calibrationK));
}

/**
 * Illuminance on the scene for an exposure value.
 *
 * @returns lx
 * Source: 2^EV = E S / C, ISO 2720; C 250 for a flat receptor.
 * @example illuminanceLux({ ev100: 15 }) // 81920
 */
export function illuminanceLux(light: { readonly ev100: number; readonly calibrationC?: number }): number {
  return ((light.calibrationC ?? calibrationC) / 100) * 2 ** light.ev100;
}

/**
 * Exposure value at ISO 100 for an illuminance on the scene.
 *
 * @param light illuminance in lx, > 0
 * @example ev100FromIlluminance({ lux: 81920 }) // 15
 */
export function ev100FromIlluminance(light: {
  readonly lux: number;
  readonly calibrationC?: number;
}): number {
  return Math.log2((100 * light.lux) / (light.calibrationC ?? calibrationC));
}
