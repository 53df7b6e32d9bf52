import type { ReportedRecording } from '../document/reportedRecording.ts';
import { formatAngle, formatBlurAngle, formatExposure, formatShutter } from '../domain/format.ts';

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

/** The shutter angle; one that was measured in whole degrees. */
export function shownAngle(recording: ReportedRecording): string | undefined {
  const { shutter } = recording;
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
