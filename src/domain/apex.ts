/*
 * APEX, the logarithmic notation of Exif tags: Av + Tv = Bv + Sv, all in stops. Formulas as in the "Photographic
 * Exposure Value" section of GNU Units' definitions, which cites ASA PH2.5-1960 and gives N = 1/3.125 for Exif 2.3.
 * Marked times and f-numbers are rounded: up to 0.093 stop for a time, 0.081 for an f-number, 0.174 for a pair.
 */

/** Sensitivity at Sv 0 (N in the APEX equations) is 3.125, so that ISO 100 is Sv 5. */
const isoAtZero = 3.125;

/** Luminance at Bv 0 in cd/m2: N x K = 12.5 / 3.125. Read as 1 foot-lambert it would be 3.426, 0.22 stop less. */
const candelasPerSquareMetreAtZero = 4;

/**
 * Exif ApertureValue of an f-number, > 0.
 *
 * @example apertureValue(2.8) // 2.9709
 */
export function apertureValue(fNumber: number): number {
  return 2 * Math.log2(fNumber);
}

/**
 * f-number of an Exif ApertureValue.
 *
 * @example fNumberFromApertureValue(1695994 / 1000000) // 1.80
 */
export function fNumberFromApertureValue(apertureValueStops: number): number {
  return 2 ** (apertureValueStops / 2);
}

/**
 * Exif ShutterSpeedValue of an exposure time in seconds, > 0.
 *
 * @example timeValue(1 / 60) // 5.9069
 */
export function timeValue(exposureSeconds: number): number {
  return -Math.log2(exposureSeconds);
}

/**
 * Exposure time in seconds of an Exif ShutterSpeedValue.
 *
 * @example exposureSecondsFromTimeValue(4) // 0.0625
 */
export function exposureSecondsFromTimeValue(timeValueStops: number): number {
  return 2 ** -timeValueStops;
}

/**
 * APEX speed value of an ISO sensitivity, > 0.
 *
 * @example sensitivityValue(100) // 5
 */
export function sensitivityValue(iso: number): number {
  return Math.log2(iso / isoAtZero);
}

/**
 * ISO sensitivity of an APEX speed value.
 *
 * @example isoFromSensitivityValue(6) // 200
 */
export function isoFromSensitivityValue(sensitivityValueStops: number): number {
  return isoAtZero * 2 ** sensitivityValueStops;
}

/**
 * Luminance in cd/m2 of an Exif BrightnessValue; good to a quarter stop, since writers disagree on its zero.
 *
 * @example luminanceFromBrightnessValue(0) // 4
 */
export function luminanceFromBrightnessValue(brightnessValueStops: number): number {
  return candelasPerSquareMetreAtZero * 2 ** brightnessValueStops;
}

/**
 * Exif BrightnessValue of a luminance in cd/m2, > 0.
 *
 * @example brightnessValue(235.2) // 5.8777
 */
export function brightnessValue(candelasPerSquareMetre: number): number {
  return Math.log2(candelasPerSquareMetre / candelasPerSquareMetreAtZero);
}
