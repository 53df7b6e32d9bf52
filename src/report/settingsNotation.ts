import type { ReportedRecording } from '../document/reportedRecording.ts';
import { formatAngle, formatBlurAngle, formatExposure, formatShutter } from '../domain/format.ts';
import { isTransferAssumed, whiteMayBeHigherStops } from '../domain/transferCurves.ts';

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

/** Stands before what was measured from motion blur, so that nobody takes it for what the camera recorded. */
const estimateSign = '≈';

/** How often the shutter opened, for frames or for fields; undefined where that is not known. */
export function openingsPerSecond({
  facts,
  shutter,
}: Pick<ReportedRecording, 'facts' | 'shutter'>): number | undefined {
  const rate = facts.framesPerSecond?.value;
  if (rate === undefined || facts.scan === undefined) return rate;
  if (shutter?.countedOn === undefined) return undefined;
  return shutter.countedOn === 'field' ? 2 * rate : rate;
}

/** The exposure time as in a table, 1/50. */
export function shownShutter(recording: ReportedRecording): string | undefined {
  return shown(recording, recording.facts.exposureSeconds?.value, formatShutter);
}

/** The exposure time with its unit, 1/50 s. */
export function shownExposure(recording: ReportedRecording): string | undefined {
  return shown(recording, recording.facts.exposureSeconds?.value, formatExposure);
}

/** The shutter angle; one that was measured in whole degrees, and where only a bound is known, that. */
export function shownAngle(recording: ReportedRecording): string | undefined {
  const { shutter } = recording;
  if (shutter?.angleDegrees === undefined && shutter?.interval !== undefined)
    return `≤ ${formatBlurAngle(shutter.interval.highDegrees)}`;
  return shown(
    recording,
    shutter?.angleDegrees,
    shutter?.basis === 'picture' ? formatBlurAngle : formatAngle,
  );
}

function shown(
  { shutter }: ReportedRecording,
  value: number | undefined,
  notation: (value: number) => string,
): string | undefined {
  if (value === undefined) return undefined;
  return `${shutter?.basis === 'picture' ? estimateSign : ''}${notation(value)}`;
}
