import { isTransferAssumed, whiteMayBeHigherStops } from '../domain/transferUncertainty.ts';

import type { ReportedRecording } from '../domain/reportedRecording.ts';
import { formatStops } from './format.ts';

/**
 * Whether the exposure rests on the level of a picture whose transfer curve leaves open where white lies: HLG and PQ
 * cameras place it up to two stops apart, and the number is what that does not explain.
 */
export function isRough({ exposure, facts }: ReportedRecording): boolean {
  const transfer = facts.transfer?.value;
  return exposure.basis === 'picture' && transfer !== undefined && whiteMayBeHigherStops(transfer) > 0;
}

/** Whether the exposure rests on the level of a picture whose transfer curve nobody recorded. */
export function isByAssumedCurve({ exposure, facts }: ReportedRecording): boolean {
  return exposure.basis === 'picture' && isTransferAssumed(facts);
}

/** The exposure as in a table, in brackets where it is rough. */
export function shownOffset(recording: ReportedRecording): string | undefined {
  const { offsetStops } = recording.exposure;
  if (offsetStops === undefined) return undefined;
  return isRough(recording) || isByAssumedCurve(recording)
    ? `(${formatStops(offsetStops)})`
    : formatStops(offsetStops);
}
