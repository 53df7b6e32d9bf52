import type { Facts, TransferName } from './recording.ts';

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
