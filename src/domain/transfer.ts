import type { Facts, TransferName } from './recording.ts';

// Recommendation ITU-R BT.709-6 (2015), item 1.2. BT.2020-2 (table 4) uses the same curve for 10 bits.
const bt709Slope = 4.5;
const bt709LinearEnd = 0.018;
const bt709Gain = 1.099;
const bt709Offset = 0.099;
const bt709Power = 0.45;

/**
 * Signal of a camera that follows BT.709: scene light [0, 1] (1 = nominal peak) to signal [0, 1].
 * Source: ITU-R BT.709-6, item 1.2.
 * @example encodeBt709(0.18) // 0.4090
 */
export function encodeBt709(sceneLight: number): number {
  return sceneLight < bt709LinearEnd
    ? bt709Slope * sceneLight
    : bt709Gain * sceneLight ** bt709Power - bt709Offset;
}

/**
 * Scene light [0, 1] of a BT.709 signal [0, 1]; values outside are continued along the curve.
 * Source: ITU-R BT.709-6, item 1.2, inverted.
 * @example decodeBt709(0.0675) // 0.015
 */
export function decodeBt709(signal: number): number {
  return signal < bt709Slope * bt709LinearEnd
    ? signal / bt709Slope
    : ((signal + bt709Offset) / bt709Gain) ** (1 / bt709Power);
}

// IEC 61966-2-1:1999, equations as in its amendment 1 (2003).
const srgbSlope = 12.92;
const srgbLinearEnd = 0.0031308;
const srgbSignalLinearEnd = 0.04045;
const srgbGain = 1.055;
const srgbOffset = 0.055;
const srgbPower = 2.4;

/**
 * sRGB signal [0, 1] of light [0, 1] (1 = display white). Source: IEC 61966-2-1.
 * @example encodeSrgb(0.18) // 0.461356
 */
export function encodeSrgb(light: number): number {
  return light <= srgbLinearEnd ? srgbSlope * light : srgbGain * light ** (1 / srgbPower) - srgbOffset;
}

/**
 * Light [0, 1] of an sRGB signal [0, 1]; negative signals stay on the straight part. Source: IEC 61966-2-1.
 * @example decodeSrgb(0.461356) // 0.18000
 */
export function decodeSrgb(signal: number): number {
  return signal <= srgbSignalLinearEnd ? signal / srgbSlope : ((signal + srgbOffset) / srgbGain) ** srgbPower;
}

// Recommendation ITU-R BT.2100-2 (2018), table 5, "HLG Reference OETF". b and c follow from a there.
const hlgA = 0.17883277;
const hlgB = 1 - 4 * hlgA;
const hlgC = 0.5 - hlgA * Math.log(4 * hlgA);
const hlgSquareRootEnd = 1 / 12;

/**
 * HLG signal [0, 1] of scene light [0, 1] (1 = nominal peak). Source: ITU-R BT.2100-2, table 5.
 * @example encodeHlg(1 / 12) // 0.5
 */
export function encodeHlg(sceneLight: number): number {
  if (sceneLight <= 0) return 0;
  return sceneLight <= hlgSquareRootEnd
    ? Math.sqrt(3 * sceneLight)
    : hlgA * Math.log(12 * sceneLight - hlgB) + hlgC;
}

/**
 * Scene light [0, 1] of an HLG signal [0, 1]; signals below black give 0. Source: ITU-R BT.2100-2, table 5.
 * @example decodeHlg(0.5) // 0.08333
 */
export function decodeHlg(signal: number): number {
  if (signal <= 0) return 0;
  return signal <= 0.5 ? signal ** 2 / 3 : (Math.exp((signal - hlgC) / hlgA) + hlgB) / 12;
}

// SMPTE ST 2084:2014, repeated in Recommendation ITU-R BT.2100-2 (2018), table 4, "PQ Reference EOTF".
const pqM1 = 2610 / 16384;
const pqM2 = (2523 / 4096) * 128;
const pqC1 = 3424 / 4096;
const pqC2 = (2413 / 4096) * 32;
const pqC3 = (2392 / 4096) * 32;
const pqPeakCdPerSquareMetre = 10_000;
// Report ITU-R BT.2408-7, table 1: cards that reflect 18, 83 and 90% of reference white, 203 cd/m², are shown at 26, 162
// and 179 cd/m²: reflectance to the power 1.2, the system gamma at 1000 cd/m² (BT.2100-2, table 5).
const pqWhiteCdPerSquareMetre = 203;
const pqSystemGamma = 1.2;

/**
 * PQ signal [0, 1] of a display luminance in cd/m² [0, 10000]. Source: SMPTE ST 2084, ITU-R BT.2100-2, table 4.
 * @example encodePq(100) // 0.508078
 */
export function encodePq(luminanceCdPerSquareMetre: number): number {
  const y = (Math.max(0, luminanceCdPerSquareMetre) / pqPeakCdPerSquareMetre) ** pqM1;
  return ((pqC1 + pqC2 * y) / (1 + pqC3 * y)) ** pqM2;
}

/**
 * Display luminance in cd/m² [0, 10000] of a PQ signal [0, 1]; signals outside count as the nearer end.
 * Source: SMPTE ST 2084, ITU-R BT.2100-2, table 4.
 * @example decodePq(0.508078421517399) // 100.000
 */
export function decodePq(signal: number): number {
  const x = Math.min(1, Math.max(0, signal)) ** (1 / pqM2);
  return pqPeakCdPerSquareMetre * (Math.max(0, x - pqC1) / (pqC2 - pqC3 * x)) ** (1 / pqM1);
}

/**
 * Scene light of a PQ signal [0, 1] against that of reference white, which is 1 and shown at 203 cd/m²: a PQ signal
 * holds the light of a display. Source: Report ITU-R BT.2408-7, table 1.
 * @example sceneLightOfPq(0.5807) // 1.000
 */
export function sceneLightOfPq(signal: number): number {
  return (decodePq(signal) / pqWhiteCdPerSquareMetre) ** (1 / pqSystemGamma);
}

const highestStops: Partial<Record<TransferName, number>> = { hlg: 1.92, pq: 1.92 };

/**
 * Stops that a picture in a curve for high dynamic range may be brighter in its recording than in the scene. The report
 * puts white at 75% of HLG and at 203 cd/m² of PQ; cameras put it anywhere from there to the end of HLG, 1.92 stops of
 * light higher (BT.2100-2, table 5), or to 1000 cd/m² of PQ, as much of scene light. A phone's HLG film of a test chart
 * had its 18 to 20% grey 1.9 stops over the report's.
 *
 * @returns stops, >= 0; 0 for curves that tie white to the peak
 * @example whiteMayBeHigherStops('hlg') // 1.92
 */
export function whiteMayBeHigherStops(transfer: TransferName): number {
  return highestStops[transfer] ?? 0;
}

/**
 * What of a picture's distance from mid-grey is no matter of where its curve has white: of a bright picture the rest, at
 * least 0. A dark one is dark wherever white lies.
 *
 * @param offsetStops by the place of white in the report, + = brighter
 * @returns stops, + = brighter
 * @example offsetWhereverWhiteLies(1.5, 'hlg') // 0
 */
export function offsetWhereverWhiteLies(offsetStops: number, transfer: TransferName | undefined): number {
  if (offsetStops <= 0 || transfer === undefined) return offsetStops;
  return Math.max(0, offsetStops - whiteMayBeHigherStops(transfer));
}

/** Stands as the source of a transfer curve that nobody recorded. */
export const assumedTransferSource = 'assumed for untagged 8-bit video (ITU-R BT.709)';

/**
 * How far a level may be off in a curve that was assumed, in stops, as one standard deviation. What is untagged and no
 * BT.709 is mostly a log profile: those put a grey card at 30 to 45% of the signal (from memory), which BT.709 reads as
 * 0.8 stop under to 0.2 over it, and what is brighter or darker than grey they bring nearer to it.
 */
export const assumedTransferStops = 1;

/**
 * Whether the transfer curve of a recording was assumed.
 * @example isTransferAssumed({ transfer: { value: 'bt709', source: 'stream colour transfer' } }) // false
 */
export function isTransferAssumed({ transfer }: Pick<Facts, 'transfer'>): boolean {
  return transfer?.source === assumedTransferSource;
}
