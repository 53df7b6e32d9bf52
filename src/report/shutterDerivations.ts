import type { MeasuredShutter } from '../domain/measuredShutter.ts';
import type { ReportedRecording, ReportedShutter } from '../domain/reportedRecording.ts';
import { exposureFactor, type Derivation, type DerivationSettings } from './derivation.ts';
import {
  counted,
  formatAngle,
  formatBlurAngle,
  formatBlurRange,
  formatRate,
  formatStops,
} from '../domain/format.ts';
import { openingsPerSecond } from './shutterNotation.ts';
import { blurReasonText } from './shutterSentences.ts';

/** How the shutter angle was found, and how it stands against the target. */
export function shutterDerivations(
  recording: ReportedRecording,
  settings: DerivationSettings,
): readonly (Derivation | undefined)[] {
  return [angle(recording), motionBlur(recording), againstTarget(recording, settings)];
}

function angle({ shutter, facts, track }: ReportedRecording): Derivation | undefined {
  const label = 'shutter angle';
  if (shutter?.either !== undefined) return { label, sum: eitherSum(shutter.either) };
  if (shutter?.angleDegrees === undefined) return undefined;
  if (shutter.basis === 'picture') {
    const range = shutter.interval === undefined ? '' : ` (95%: ${formatBlurRange(shutter.interval)})`;
    return { label, sum: `${formatBlurAngle(shutter.angleDegrees)}, told by motion blur${range}` };
  }
  const result = formatAngle(shutter.angleDegrees);
  const rate = openingsPerSecond({ facts, shutter });
  if (rate === undefined) return { label, sum: result };
  const exposures = [facts.exposureSeconds?.value, track?.exposureSeconds?.median];
  // The document holds the angle, not what it was worked out from: only a sum that comes out right is shown.
  const exposure = exposures.find(
    (seconds) => seconds !== undefined && formatAngle(360 * rate * seconds) === result,
  );
  if (exposure === undefined) return { label, sum: result };
  const counted = shutter.countedOn === undefined ? '' : countedSaid[shutter.countedOn];
  return { label, sum: `360° × ${formatRate(rate)} × ${exposureFactor(exposure)} = ${result}${counted}` };
}

const countedSaid = {
  field: ', counted on the field: each of a frame is of a moment of its own',
  frame: ', counted on the frame: both its fields are of one moment',
} as const;

function eitherSum({ onFrameDegrees, onFieldDegrees }: NonNullable<ReportedShutter['either']>): string {
  return (
    `${formatAngle(onFrameDegrees)} if both fields of a frame are of one moment, ` +
    `${formatAngle(onFieldDegrees)} if each has its own; not known which`
  );
}

function motionBlur({ shutter }: ReportedRecording): Derivation | undefined {
  const blur = shutter?.blur;
  if (blur === undefined) return undefined;
  const moving =
    blur.medianMotionPixels === undefined
      ? ''
      : `, moving ${blur.medianMotionPixels.toFixed(1)} px per frame`;
  const seen = `${counted(blur.tileCount, 'part')} of the picture in ${counted(blur.pairCount, 'pair')} of frames${moving}`;
  return { label: 'motion blur', sum: `${seen}: ${blurAnswer(blur)}` };
}

function blurAnswer({ verdict, angleDegrees, interval, reason }: MeasuredShutter): string {
  if (reason !== undefined) return `cannot tell. ${blurReasonText(reason)}`;
  if (verdict === 'short') return `at most ${formatBlurAngle(interval?.highDegrees ?? 360)} (95%)`;
  if (angleDegrees === undefined || interval === undefined) return 'cannot tell';
  return `${formatBlurAngle(angleDegrees)} (95%: ${formatBlurRange(interval)})`;
}

function againstTarget(
  { shutter }: ReportedRecording,
  { shutterAngleDegrees }: DerivationSettings,
): Derivation | undefined {
  if (shutter?.angleDegrees === undefined || shutter.offsetStops === undefined) return undefined;
  const notation = shutter.basis === 'picture' ? formatBlurAngle : formatAngle;
  const ratio = `${notation(shutter.angleDegrees)} / ${formatAngle(shutterAngleDegrees)}`;
  return { label: 'against the target', sum: `log2(${ratio}) = ${formatStops(shutter.offsetStops)} stops` };
}
