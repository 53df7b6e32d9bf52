import type { TransferName } from '../recording.ts';

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
