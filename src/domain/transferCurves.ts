import type { TransferName, Facts } from './recording.ts';

// Recommendation ITU-R BT.709-6 (2015), item 1.2. BT.2020-2 (table 4) uses the same curve for 10 bits.
const bt709 = { slope: 4.5, linearEnd: 0.018, gain: 1.099, offset: 0.099, power: 0.45 } as const;

/**
 * Scene light [0, 1] of a BT.709 signal [0, 1]; values outside are continued along the curve.
 * Source: ITU-R BT.709-6, item 1.2, inverted.
 * @example lightOfSignal('bt709', 0.0675) // 0.015
 */
function decodeBt709(signal: number): number {
  return signal < bt709.slope * bt709.linearEnd
    ? signal / bt709.slope
    : ((signal + bt709.offset) / bt709.gain) ** (1 / bt709.power);
}

// IEC 61966-2-1:1999, equations as in its amendment 1 (2003).
const srgb = { slope: 12.92, signalLinearEnd: 0.04045, gain: 1.055, offset: 0.055, power: 2.4 } as const;

/**
 * Light [0, 1] (1 = display white) of an sRGB signal [0, 1]; negative signals stay on the straight part. Source: IEC 61966-2-1.
 * @example decodeSrgb(0.461356) // 0.18000
 */
export function decodeSrgb(signal: number): number {
  return signal <= srgb.signalLinearEnd
    ? signal / srgb.slope
    : ((signal + srgb.offset) / srgb.gain) ** srgb.power;
}

// Recommendation ITU-R BT.2100-2 (2018), table 5, "HLG Reference OETF". b and c follow from a there.
const hlgA = 0.17883277;
const hlgB = 1 - 4 * hlgA;
const hlgC = 0.5 - hlgA * Math.log(4 * hlgA);

/**
 * Scene light [0, 1] of an HLG signal [0, 1]; signals below black give 0. Source: ITU-R BT.2100-2, table 5.
 * @example lightOfSignal('hlg', 0.5) // 0.08333
 */
function decodeHlg(signal: number): number {
  if (signal <= 0) return 0;
  return signal <= 0.5 ? signal ** 2 / 3 : (Math.exp((signal - hlgC) / hlgA) + hlgB) / 12;
}

// SMPTE ST 2084:2014, repeated in Recommendation ITU-R BT.2100-2 (2018), table 4, "PQ Reference EOTF".
const pqM1 = 2610 / 16384;
const pqM2 = (2523 / 4096) * 128;
const pqC1 = 3424 / 4096;
const pqC2 = (2413 / 4096) * 32;
const pqC3 = (2392 / 4096) * 32;
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
  const y = (Math.max(0, luminanceCdPerSquareMetre) / peakCdPerSquareMetre) ** pqM1;
  return ((pqC1 + pqC2 * y) / (1 + pqC3 * y)) ** pqM2;
}

/**
 * Display luminance in cd/m² [0, 10000] of a PQ signal [0, 1]; signals outside count as the nearer end.
 * Source: SMPTE ST 2084, ITU-R BT.2100-2, table 4.
 * @example decodePq(0.508078421517399) // 100.000
 */
export function decodePq(signal: number): number {
  const x = Math.min(1, Math.max(0, signal)) ** (1 / pqM2);
  return peakCdPerSquareMetre * (Math.max(0, x - pqC1) / (pqC2 - pqC3 * x)) ** (1 / pqM1);
}

/**
 * Scene light of a PQ signal [0, 1] against that of reference white, which is 1 and shown at 203 cd/m²: a PQ signal
 * holds the light of a display. Source: Report ITU-R BT.2408-7, table 1.
 */
function sceneLightOfPq(signal: number): number {
  return (decodePq(signal) / whiteCdPerSquareMetre) ** (1 / systemGamma);
}

const decoders: Readonly<Record<TransferName, (signal: number) => number>> = {
  bt709: decodeBt709,
  srgb: decodeSrgb,
  hlg: decodeHlg,
  pq: sceneLightOfPq,
  linear: (signal) => signal,
};

/**
 * Scene light of a signal [0, 1], in units of its curve: 1 is the white of the scene, of HLG the nominal peak.
 * @example lightOfSignal('pq', 0.5807) // 1.000
 */
export function lightOfSignal(transfer: TransferName, signal: number): number {
  return decoders[transfer](signal);
}

/**
 * Light of a card that reflects 18%, in units of the curve. HLG has reference white at 75% of the signal (Report ITU-R
 * BT.2408-7, table 1), which puts the card at 38%.
 * @example greyCardLight('hlg') // 0.0477
 */
export function greyCardLight(transfer: TransferName): number {
  return transfer === 'hlg' ? 0.18 * decodeHlg(0.75) : 0.18;
}

/**
 * Share of its brightness that a camera's shoulder takes from white. Cameras press highlights together before they write
 * sRGB or BT.709, as `written = light / (1 + c · light)` does (form: Reinhard and others, Photographic Tone Reproduction
 * for Digital Images, 2002, equation 3, from memory). Fitted to 251 frames of 46 exposure brackets by 22 cameras, most as
 * the cameras wrote them, up to three stops from a normal exposure: whichever camera was left out, 0.725 to 0.775 was best.
 */
const shoulder = 0.75;

/**
 * How far a level in light may be off, in stops: of the same frames up to two stops from a normal exposure, each judged
 * without its own camera, 86% lay within; by the bare curve 80%, and 45% of those two stops over. As a standard deviation
 * 0.34. Seven scenes of four more cameras: 89%. Measured on stills; of clips no brackets were found.
 */
export const levelToleranceStops = 0.5;

/**
 * Light on the scene for a mean level that was read by the standard curve: above mid-grey the shoulder of cameras is
 * undone. HLG, PQ and linear light have none, and below mid-grey none was found.
 * @param levelStops from mid-grey by the curve of the standard, + = brighter
 * @returns stops from mid-grey, + = brighter
 * @example lightOfLevel(1.5, 'srgb') // 1.985
 */
export function lightOfLevel(levelStops: number, transfer: TransferName | undefined): number {
  if (levelStops <= 0 || (transfer !== 'srgb' && transfer !== 'bt709')) return levelStops;
  const [grey, written] = [0.18, Math.min(1, 0.18 * 2 ** levelStops)];
  return levelStops + Math.log2((1 - shoulder * grey) / (1 - shoulder * written));
}

/**
 * The curves above by their code in streams and pictures (ITU-T H.273, table 3) and by FFmpeg's name for it. BT.601,
 * BT.709 and both BT.2020 curves are one function.
 */
export const codedTransfers: readonly {
  readonly code: number;
  readonly ffmpegName: string;
  readonly transfer: TransferName;
}[] = [
  { code: 1, ffmpegName: 'bt709', transfer: 'bt709' },
  { code: 6, ffmpegName: 'smpte170m', transfer: 'bt709' },
  { code: 8, ffmpegName: 'linear', transfer: 'linear' },
  { code: 13, ffmpegName: 'iec61966-2-1', transfer: 'srgb' },
  { code: 14, ffmpegName: 'bt2020-10', transfer: 'bt709' },
  { code: 15, ffmpegName: 'bt2020-12', transfer: 'bt709' },
  { code: 16, ffmpegName: 'smpte2084', transfer: 'pq' },
  { code: 18, ffmpegName: 'arib-std-b67', transfer: 'hlg' },
];

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

const highestStops: Partial<Record<TransferName, number>> = { hlg: 1.92, pq: 1.92 };

/**
 * Stops that a picture in a curve for high dynamic range may be brighter in its recording than in the scene. The report
 * puts white at 75% of HLG and at 203 cd/m² of PQ; cameras put it anywhere from there to the end of HLG, 1.92 stops of
 * light higher (BT.2100-2, table 5), or to 1000 cd/m² of PQ, as much of scene light. A phone's HLG film of a test chart
 * had its 18 to 20% grey 1.9 stops over the report's.
 * @returns stops, >= 0; 0 for curves that tie white to the peak
 * @example whiteMayBeHigherStops('hlg') // 1.92
 */
export function whiteMayBeHigherStops(transfer: TransferName): number {
  return highestStops[transfer] ?? 0;
}

/**
 * What of a picture's distance from mid-grey is no matter of where its curve has white: of a bright picture the rest, at
 * least 0. A dark one is dark wherever white lies.
 * @param offsetStops by the place of white in the report, + = brighter
 * @returns stops, + = brighter
 * @example offsetWhereverWhiteLies(1.5, 'hlg') // 0
 */
export function offsetWhereverWhiteLies(offsetStops: number, transfer: TransferName | undefined): number {
  if (offsetStops <= 0 || transfer === undefined) return offsetStops;
  return Math.max(0, offsetStops - whiteMayBeHigherStops(transfer));
}
