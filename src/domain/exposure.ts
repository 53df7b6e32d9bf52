import type { Facts } from './recording.ts';

/** Incident-light calibration constant C in lx s ISO for a flat receptor; ISO 2720:1974 allows 240 to 400. */
const calibrationC = 250;

/** What a camera was set to, each > 0. A lens without a recorded f-number leaves `fNumber` out. */
interface ExposureSettings {
  readonly fNumber?: number;
  readonly exposureSeconds?: number;
  readonly iso?: number;
}

/**
 * Exposure value at ISO 100 of camera settings.
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
 * @returns stops, + = brighter
 * Source: exposure goes with t S / N^2, ISO 2720.
 * @example settingsStops({ exposureSeconds: 1 / 2, fNumber: 2 }) // -3
 */
export function settingsStops({ exposureSeconds = 1, iso = 1, fNumber = 1 }: ExposureSettings): number {
  return Math.log2((exposureSeconds * iso) / fNumber ** 2);
}

/**
 * What a camera was set to, as far as it was recorded.
 * @example settingsOf({ iso: { value: 100, source: 'EXIF' } }) // { iso: 100 }
 */
export function settingsOf({ fNumber, exposureSeconds, iso }: Facts): ExposureSettings {
  return { fNumber: fNumber?.value, exposureSeconds: exposureSeconds?.value, iso: iso?.value };
}

/**
 * Exposure value at ISO 100 for an illuminance on the scene.
 * @param light illuminance in lx, > 0
 * Source: 2^EV = E S / C, ISO 2720; C 250 for a flat receptor.
 * @example ev100FromIlluminance({ lux: 81920 }) // 15
 */
export function ev100FromIlluminance({ lux }: { readonly lux: number }): number {
  return Math.log2((100 * lux) / calibrationC);
}

/*
 * APEX, the logarithmic notation of Exif tags, in stops. Formulas as in the "Photographic Exposure Value" section of GNU
 * Units' definitions, which cites ASA PH2.5-1960. Marked times and f-numbers are rounded: up to 0.093 stop for a time,
 * 0.081 for an f-number, 0.174 for a pair.
 */

/**
 * f-number of an Exif ApertureValue.
 * @example fNumberFromApertureValue(1695994 / 1000000) // 1.80
 */
export function fNumberFromApertureValue(apertureValueStops: number): number {
  return 2 ** (apertureValueStops / 2);
}

/**
 * Exposure time in seconds of an Exif ShutterSpeedValue.
 * @example exposureSecondsFromTimeValue(4) // 0.0625
 */
export function exposureSecondsFromTimeValue(timeValueStops: number): number {
  return 2 ** -timeValueStops;
}

/**
 * Light ratio in stops.
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
