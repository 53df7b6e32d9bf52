import type { Facts } from '../recording.ts';

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
