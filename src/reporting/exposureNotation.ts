import type { ReportedRecording } from '../domain/reportedRecording.ts';
import { formatStops } from './format.ts';

/**
 * Whether the exposure rests on the level of a picture whose transfer curve leaves open where white lies: HLG and PQ
 * cameras place it up to two stops apart (judging/limits.ts), so the number says little.
 */
export function saysLittle({ exposure, facts }: ReportedRecording): boolean {
  const transfer = facts.transfer?.value;
  return exposure.basis === 'picture' && (transfer === 'hlg' || transfer === 'pq');
}

/** The exposure as in a table, in brackets where it says little. */
export function shownOffset(recording: ReportedRecording): string | undefined {
  const { offsetStops } = recording.exposure;
  if (offsetStops === undefined) return undefined;
  return saysLittle(recording) ? `(${formatStops(offsetStops)})` : formatStops(offsetStops);
}
