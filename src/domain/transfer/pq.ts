// SMPTE ST 2084:2014, repeated in Recommendation ITU-R BT.2100-2 (2018), table 4, "PQ Reference EOTF".
const m1 = 2610 / 16384;
const m2 = (2523 / 4096) * 128;
const c1 = 3424 / 4096;
const c2 = (2413 / 4096) * 32;
const c3 = (2392 / 4096) * 32;
const peakCdPerSquareMetre = 10_000;
// Report ITU-R BT.2408-7, table 1: cards that reflect 18, 83 and 90% of reference white, 203 cd/m², are shown at 26, 162
// and 179 cd/m²: reflectance to the power 1.2, the system gamma at 1000 cd/m² (BT.2100-2, table 5).
const whiteCdPerSquareMetre = 203;
const systemGamma = 1.2;

/**
 * PQ signal [0, 1] of a display luminance in cd/m² [0, 10000]. Source: SMPTE ST 2084, ITU-R BT.2100-2, table 4.
 * @example encodePq(100) // 0.508078
 */
export function encodePq(luminanceCdPerSquareMetre: number): number {
  const y = (Math.max(0, luminanceCdPerSquareMetre) / peakCdPerSquareMetre) ** m1;
  return ((c1 + c2 * y) / (1 + c3 * y)) ** m2;
}

/**
 * Display luminance in cd/m² [0, 10000] of a PQ signal [0, 1]; signals outside count as the nearer end.
 * Source: SMPTE ST 2084, ITU-R BT.2100-2, table 4.
 * @example decodePq(0.508078421517399) // 100.000
 */
export function decodePq(signal: number): number {
  const x = Math.min(1, Math.max(0, signal)) ** (1 / m2);
  return peakCdPerSquareMetre * (Math.max(0, x - c1) / (c2 - c3 * x)) ** (1 / m1);
}

/**
 * Scene light of a PQ signal [0, 1] against that of reference white, which is 1 and shown at 203 cd/m²: a PQ signal
 * holds the light of a display. Source: Report ITU-R BT.2408-7, table 1.
 * @example sceneLightOfPq(0.5807) // 1.000
 */
export function sceneLightOfPq(signal: number): number {
  return (decodePq(signal) / whiteCdPerSquareMetre) ** (1 / systemGamma);
}
