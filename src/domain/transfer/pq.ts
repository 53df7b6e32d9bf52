// SMPTE ST 2084:2014, repeated in Recommendation ITU-R BT.2100-2 (2018), table 4, "PQ Reference EOTF".
const m1 = 2610 / 16384;
const m2 = (2523 / 4096) * 128;
const c1 = 3424 / 4096;
const c2 = (2413 / 4096) * 32;
const c3 = (2392 / 4096) * 32;
const peakCdPerSquareMetre = 10_000;

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
