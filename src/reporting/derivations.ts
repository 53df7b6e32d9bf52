import type { MeasuredShutter } from '../domain/measuredShutter.ts';
import type { ReportedRecording, ReportedSettings } from '../domain/report.ts';
import {
  counted,
  formatAngle,
  formatDuration,
  formatExposure,
  formatPercent,
  formatRate,
  formatShutter,
  formatSpan,
  formatStops,
  stopsInWords,
} from './format.ts';
import { blurReasonText } from './wording.ts';

/** How one number came about: what it is called, and the sum with its result. */
export interface Derivation {
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
    angle(recording),
    motionBlur(recording),
    angleOffset(recording, settings),
    ev100(recording),
    exposureOffset(recording, settings),
    sceneLight(recording),
    filterChange(recording),
    filterNeeded(recording),
    filterLeaves(recording),
    clipped(recording),
    motion(recording),
  ].filter((derivation) => derivation !== undefined);
}

function angle({ shutter, facts, track }: ReportedRecording): Derivation | undefined {
  if (shutter?.angleDegrees === undefined) return undefined;
  const result = formatAngle(shutter.angleDegrees);
  const rate = facts.framesPerSecond?.value;
  const exposures = [facts.exposureSeconds?.value, track?.exposureSeconds?.median];
  // The document holds the angle, not what it was worked out from: only a sum that comes out right is shown.
  const exposure = exposures.find(
    (seconds) => seconds !== undefined && rate !== undefined && formatAngle(360 * rate * seconds) === result,
  );
  if (shutter.basis === 'picture' || exposure === undefined || rate === undefined)
    return { label: 'shutter angle', sum: `${result}${estimated(shutter)}` };
  return { label: 'shutter angle', sum: `360° × ${formatRate(rate)} × ${times(exposure)} = ${result}` };
}

function estimated({ basis, interval }: NonNullable<ReportedRecording['shutter']>): string {
  if (basis !== 'picture') return '';
  if (interval === undefined) return ', estimated from the picture';
  return `, estimated from the picture (95% between ${formatAngle(interval.lowDegrees)} and ${formatAngle(interval.highDegrees)})`;
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
  if (verdict === 'short') return `at most ${formatAngle(interval?.highDegrees ?? 360)} with 95%`;
  if (angleDegrees === undefined || interval === undefined) return 'cannot tell';
  return `${formatAngle(Math.round(angleDegrees))}, with 95% between ${formatAngle(Math.round(interval.lowDegrees))} and ${formatAngle(Math.round(interval.highDegrees))}`;
}

function angleOffset({ shutter }: ReportedRecording, { shutterAngleDegrees }: DerivationSettings) {
  if (shutter?.angleDegrees === undefined || shutter.offsetStops === undefined) return undefined;
  const ratio = `${formatAngle(shutter.angleDegrees)} / ${formatAngle(shutterAngleDegrees)}`;
  return { label: 'against the target', sum: `log2(${ratio}) = ${formatStops(shutter.offsetStops)} stops` };
}

function ev100({ exposure, facts }: ReportedRecording): Derivation | undefined {
  const [f, seconds, iso] = [facts.fNumber?.value, facts.exposureSeconds?.value, facts.iso?.value];
  if (exposure.ev100 === undefined) return undefined;
  const label = 'EV at ISO 100';
  if (f === undefined || seconds === undefined || iso === undefined)
    return { label, sum: exposure.ev100.toFixed(1) };
  const sum = `log2(${Number(f.toFixed(1))}² / ${times(seconds)}) - log2(${Math.round(iso)} / 100)`;
  return { label, sum: `${sum.replace(' - ', ' − ')} = ${exposure.ev100.toFixed(1)}` };
}

function exposureOffset(
  { exposure, picture, facts }: ReportedRecording,
  { windowStops }: DerivationSettings,
) {
  if (exposure.offsetStops === undefined) {
    if (picture === undefined || facts.transfer !== undefined) return undefined;
    return {
      label: 'exposure',
      sum: 'not known: no transfer curve was recorded, so brightness says nothing',
    };
  }
  const source = exposure.basis === 'picture' ? 'mean level of the picture' : "camera's meter";
  const wanted = `wanted ${formatStops(windowStops[0])} to ${formatStops(windowStops[1])}`;
  return { label: 'exposure', sum: `${formatStops(exposure.offsetStops)} stops by the ${source}, ${wanted}` };
}

function sceneLight({ exposure, filter }: ReportedRecording): Derivation | undefined {
  if (exposure.sceneEv100 === undefined) return undefined;
  const parts = [
    exposure.ev100 === undefined ? undefined : `${exposure.ev100.toFixed(1)} recorded`,
    filter?.fitted === undefined ? undefined : `${formatStops(filter.fitted.stops)} filter`,
    exposure.offsetStops === undefined ? undefined : `${formatStops(exposure.offsetStops)} exposure`,
  ].filter((part) => part !== undefined);
  return { label: 'light on the scene', sum: `EV ${exposure.sceneEv100.toFixed(1)} (${parts.join(', ')})` };
}

function filterChange({ filter }: ReportedRecording): Derivation | undefined {
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
  return {
    label: 'filter needed',
    sum: `${fitted} ${formatStops(filter.additionalStops)} = ${result}${floor}`,
  };
}

function filterLeaves({ filter }: ReportedRecording): Derivation | undefined {
  if (filter?.pick === undefined) return undefined;
  const { label, stops, leavesStops } = filter.pick;
  return {
    label: 'filter to carry',
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

/** An exposure as a factor in a sum. */
function times(exposureSeconds: number): string {
  return exposureSeconds < 0.25 ? `(${formatShutter(exposureSeconds)})` : formatExposure(exposureSeconds);
}
