import type { ReportedSettings } from '../document/auditDocument.ts';
import type { ReportedRecording, ReportedShutter } from '../document/reportedRecording.ts';

import type { MeasuredShutter } from '../domain/shutter.ts';
import { isByAssumedCurve, isRough, openingsPerSecond } from './settingsNotation.ts';
import {
  counted,
  formatDuration,
  formatEv,
  formatPercent,
  formatSpan,
  formatStops,
  formatExposure,
  formatShutter,
  formatAngle,
  formatBlurAngle,
  formatBlurRange,
  formatRate,
  stopsInWords,
} from '../domain/format.ts';

import { blurReasonText } from '../findings/shutterUnknown.ts';

/** How one number came about: what it is called, and the sum with its result. */
interface Derivation {
  readonly label: string;
  readonly sum: string;
}

type DerivationSettings = Pick<ReportedSettings, 'shutterAngleDegrees' | 'windowStops'>;

/** Every number of a recording that was worked out and not read, with its sum. */
export function derivations(
  recording: ReportedRecording,
  settings: DerivationSettings,
): readonly Derivation[] {
  return [
    shutterAngle(recording),
    motionBlur(recording),
    againstTarget(recording, settings),
    ev100(recording),
    exposureOffset(recording, settings),
    sceneLight(recording),
    filterToAdd(recording),
    filterNeeded(recording),
    bestOfKit(recording),
    clipped(recording),
    motion(recording),
  ].filter((derivation) => derivation !== undefined);
}

function shutterAngle({ shutter, facts, track }: ReportedRecording): Derivation | undefined {
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
  const countedOn = shutter.countedOn === undefined ? '' : countedOnWords[shutter.countedOn];
  return { label, sum: `360° × ${formatRate(rate)} × ${exposureFactor(exposure)} = ${result}${countedOn}` };
}

const countedOnWords = {
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

function ev100({ exposure, facts }: ReportedRecording): Derivation | undefined {
  const [f, seconds, iso] = [facts.fNumber?.value, facts.exposureSeconds?.value, facts.iso?.value];
  if (exposure.ev100 === undefined) return undefined;
  const label = 'EV at ISO 100';
  const result = formatEv(exposure.ev100);
  if (f === undefined || seconds === undefined || iso === undefined) return { label, sum: result };
  const sum = `log2(${Number(f.toFixed(1))}² / ${exposureFactor(seconds)}) − log2(${Math.round(iso)} / 100)`;
  return { label, sum: `${sum} = ${result}` };
}

function exposureOffset(recording: ReportedRecording, { windowStops }: DerivationSettings) {
  const { exposure, picture, facts } = recording;
  if (exposure.offsetStops === undefined) {
    if (picture === undefined || facts.transfer !== undefined) return undefined;
    return {
      label: 'exposure',
      sum: 'not known: no transfer curve was recorded, so brightness says nothing',
    };
  }
  const source = exposure.basis === 'picture' ? 'mean level of the picture' : "camera's meter";
  const wanted = `wanted ${windowStops.map(formatStops).join(' to ')}`;
  const shy = isRough(recording)
    ? '; HLG and PQ cameras place white up to two stops apart, and what that explains is left out'
    : isByAssumedCurve(recording)
      ? '; no transfer curve was recorded: BT.709 is assumed, and a log profile would be off by about a stop'
      : '';
  return {
    label: 'exposure',
    sum: `${formatStops(exposure.offsetStops)} stops by the ${source}, ${wanted}${shy}`,
  };
}

function sceneLight({ exposure, filter }: ReportedRecording): Derivation | undefined {
  if (exposure.sceneEv100 === undefined) return undefined;
  const parts = [
    exposure.ev100 === undefined ? undefined : `${formatEv(exposure.ev100)} recorded`,
    filter?.fitted === undefined ? undefined : `${formatStops(filter.fitted.stops)} filter`,
    exposure.offsetStops === undefined ? undefined : `${formatStops(exposure.offsetStops)} exposure`,
  ].filter((part) => part !== undefined);
  return { label: 'light on the scene', sum: `EV ${formatEv(exposure.sceneEv100)} (${parts.join(', ')})` };
}

function filterToAdd({ filter }: ReportedRecording): Derivation | undefined {
  if (filter?.additionalStops === undefined) return undefined;
  const spread = filter.uncertaintyStops === undefined ? '' : `, ±${filter.uncertaintyStops.toFixed(1)}`;
  const basis = filter.basis === undefined ? '' : `, from the ${filter.basis}`;
  return { label: 'filter to add', sum: `${formatStops(filter.additionalStops)} stops${spread}${basis}` };
}

function filterNeeded({ filter }: ReportedRecording): Derivation | undefined {
  if (filter?.neededStops === undefined) return undefined;
  const result = `${filter.neededStops.toFixed(1)} stops`;
  if (filter.fitted === undefined || filter.additionalStops === undefined)
    return { label: 'filter needed', sum: result };
  const fitted = `${filter.fitted.stops.toFixed(1)} (${filter.fitted.label}, ${filter.fitted.source})`;
  const floor = filter.fitted.stops + filter.additionalStops < 0 ? ', not below 0' : '';
  const sum = `${fitted} ${formatStops(filter.additionalStops)} = ${result}${floor}`;
  return { label: 'filter needed', sum };
}

function bestOfKit({ filter }: ReportedRecording): Derivation | undefined {
  if (filter?.pick === undefined) return undefined;
  const { label, stops, leavesStops } = filter.pick;
  return {
    label: 'best of the kit',
    sum: `${label}, ${stopsInWords(stops)}; leaves ${formatStops(leavesStops)} stops`,
  };
}

function clipped({ picture, kind }: ReportedRecording): Derivation | undefined {
  if (picture === undefined) return undefined;
  const { clippedFraction, framesMeasured, clippedSpans, ceiling } = picture;
  const white = `(white taken at ${formatPercent(ceiling.signal)} of the ${ceiling.basis} peak)`;
  if (kind === 'still')
    return { label: 'clipped', sum: `${formatPercent(clippedFraction.max)} of the picture ${white}` };
  const spans = clippedSpans.length === 0 ? '' : `; ${clippedSpans.slice(0, 4).map(formatSpan).join(', ')}`;
  const more = clippedSpans.length > 4 ? ' and later' : '';
  return {
    label: 'clipped',
    sum:
      `${formatPercent(clippedFraction.max)} at most, ${formatPercent(clippedFraction.median)} typically, ` +
      `in ${counted(framesMeasured, 'measured frame')} ${white}${spans}${more}`,
  };
}

function motion({ picture, facts }: ReportedRecording): Derivation | undefined {
  if (picture?.motionPixelsPerFrame === undefined) return undefined;
  const { median, high } = picture.motionPixelsPerFrame;
  const width = facts.width === undefined ? '' : ` at ${facts.width.value} px width`;
  const step = picture.samplingStepSeconds;
  const sampled = step === undefined ? '' : `, looked at every ${formatDuration(step)}`;
  return {
    label: 'motion',
    sum: `${median.toFixed(1)} px per frame typically, ${high.toFixed(1)} at its fastest${width}${sampled}`,
  };
}

/** In a sum: (1/50). */
function exposureFactor(exposureSeconds: number): string {
  return exposureSeconds < 0.25 ? `(${formatShutter(exposureSeconds)})` : formatExposure(exposureSeconds);
}
