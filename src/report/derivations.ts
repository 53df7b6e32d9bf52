import type { ReportedSettings } from '../document/auditDocument.ts';
import type { ReportedRecording } from '../document/reportedRecording.ts';
import {
  counted,
  formatAngle,
  formatBlurAngle,
  formatBlurRange,
  formatDuration,
  formatEv,
  formatExposure,
  formatPercent,
  formatRate,
  formatShutter,
  formatSpan,
  formatStops,
  stopsInWords,
} from '../domain/format.ts';
import type { CloserReason } from '../domain/measurement.ts';
import type { MeasuredShutter } from '../domain/shutter.ts';
import { silentBlur } from '../findings/shutterUnknown.ts';
import { isByAssumedCurve, isRough, openingsPerSecond } from './settingsNotation.ts';

type DerivationSettings = Pick<ReportedSettings, 'shutterAngleDegrees' | 'windowStops'>;

/** Every number of a recording that was worked out and not read: what it is called, and the sum with its result. */
export function derivations(
  recording: ReportedRecording,
  settings: DerivationSettings,
): readonly (readonly [label: string, sum: string])[] {
  const sums = {
    'shutter angle': shutterAngle(recording),
    'motion blur': motionBlur(recording),
    'against the target': againstTarget(recording, settings),
    'EV at ISO 100': ev100(recording),
    exposure: exposureOffset(recording, settings),
    'light on the scene': sceneLight(recording),
    'filter to add': filterToAdd(recording),
    'filter needed': filterNeeded(recording),
    'best of the kit': bestOfKit(recording),
    'looked at': lookedAt(recording),
    clipped: clipped(recording),
    'too bright by': overexposed(recording),
    motion: motion(recording),
  };
  return Object.entries(sums).flatMap(([label, sum]) => (sum === undefined ? [] : [[label, sum] as const]));
}

type Sum = string | undefined;

function shutterAngle({ shutter, facts, track }: ReportedRecording): Sum {
  if (shutter?.either !== undefined) return eitherSum(shutter.either);
  if (shutter?.angleDegrees === undefined) return undefined;
  if (shutter.basis === 'picture') {
    const range = shutter.interval === undefined ? '' : ` (95%: ${formatBlurRange(shutter.interval)})`;
    return `${formatBlurAngle(shutter.angleDegrees)}, told by motion blur${range}`;
  }
  const result = formatAngle(shutter.angleDegrees);
  const rate = openingsPerSecond({ facts, shutter });
  if (rate === undefined) return result;
  const exposures = [facts.exposureSeconds?.value, track?.exposureSeconds?.median];
  // The document holds the angle, not what it was worked out from: only a sum that comes out right is shown.
  const exposure = exposures.find(
    (seconds) => seconds !== undefined && formatAngle(360 * rate * seconds) === result,
  );
  if (exposure === undefined) return result;
  const countedOn = shutter.countedOn === undefined ? '' : countedOnWords[shutter.countedOn];
  return `360° × ${formatRate(rate)} × ${exposureFactor(exposure)} = ${result}${countedOn}`;
}

const countedOnWords = {
  field: ', counted on the field: each of a frame is of a moment of its own',
  frame: ', counted on the frame: both its fields are of one moment',
} as const;

function eitherSum({
  onFrameDegrees,
  onFieldDegrees,
}: NonNullable<NonNullable<ReportedRecording['shutter']>['either']>): string {
  return (
    `${formatAngle(onFrameDegrees)} if both fields of a frame are of one moment, ` +
    `${formatAngle(onFieldDegrees)} if each has its own; not known which`
  );
}

function motionBlur({ shutter }: ReportedRecording): Sum {
  const blur = shutter?.blur;
  if (blur === undefined) return undefined;
  const { medianMotionPixels, tileCount, pairCount } = blur;
  const moving =
    medianMotionPixels === undefined ? '' : `, moving ${medianMotionPixels.toFixed(1)} px per frame`;
  return `${counted(tileCount, 'part')} of the picture in ${counted(pairCount, 'pair')} of frames${moving}: ${blurAnswer(blur)}`;
}

function blurAnswer({ verdict, angleDegrees, interval, reason }: MeasuredShutter): string {
  if (reason !== undefined && interval === undefined) return `cannot tell. ${silentBlur[reason]}`;
  if (verdict !== 'measured') return `at most ${formatBlurAngle(interval?.highDegrees ?? 360)} (95% sure)`;
  if (angleDegrees === undefined || interval === undefined) return 'cannot tell';
  return `${formatBlurAngle(angleDegrees)} (95%: ${formatBlurRange(interval)})`;
}

function againstTarget({ shutter }: ReportedRecording, { shutterAngleDegrees }: DerivationSettings): Sum {
  if (shutter?.angleDegrees === undefined || shutter.offsetStops === undefined) return undefined;
  const notation = shutter.basis === 'picture' ? formatBlurAngle : formatAngle;
  const ratio = `${notation(shutter.angleDegrees)} / ${formatAngle(shutterAngleDegrees)}`;
  return `log2(${ratio}) = ${formatStops(shutter.offsetStops)} stops`;
}

function ev100({ exposure, facts }: ReportedRecording): Sum {
  const [f, seconds, iso] = [facts.fNumber?.value, facts.exposureSeconds?.value, facts.iso?.value];
  if (exposure.ev100 === undefined) return undefined;
  const result = formatEv(exposure.ev100);
  if (f === undefined || seconds === undefined || iso === undefined) return result;
  return `log2(${Number(f.toFixed(1))}² / ${exposureFactor(seconds)}) − log2(${Math.round(iso)} / 100) = ${result}`;
}

function exposureOffset(recording: ReportedRecording, { windowStops }: DerivationSettings): Sum {
  const { exposure, picture, facts } = recording;
  if (exposure.offsetStops === undefined)
    return picture === undefined || facts.transfer !== undefined
      ? undefined
      : 'not known: no transfer curve was recorded, so brightness says nothing';
  const source =
    exposure.basis === 'picture' ? 'mean level of the picture, right to half a stop' : "camera's meter";
  const shy = isRough(recording)
    ? '; HLG and PQ cameras place white up to two stops apart, and what that explains is left out'
    : isByAssumedCurve(recording)
      ? '; no transfer curve was recorded: BT.709 is assumed, and a log profile would be off by about a stop'
      : '';
  return `${formatStops(exposure.offsetStops)} stops by the ${source}, wanted ${windowStops.map(formatStops).join(' to ')}${shy}`;
}

function sceneLight({ exposure, filter }: ReportedRecording): Sum {
  if (exposure.sceneEv100 === undefined) return undefined;
  const parts = [
    exposure.ev100 === undefined ? undefined : `${formatEv(exposure.ev100)} recorded`,
    filter?.fitted && `${formatStops(filter.fitted.stops)} filter`,
    exposure.offsetStops === undefined ? undefined : `${formatStops(exposure.offsetStops)} exposure`,
  ].filter((part) => part !== undefined);
  return `EV ${formatEv(exposure.sceneEv100)} (${parts.join(', ')})`;
}

function filterToAdd({ filter }: ReportedRecording): Sum {
  if (filter?.additionalStops === undefined) return undefined;
  const spread = filter.uncertaintyStops === undefined ? '' : `, ±${filter.uncertaintyStops.toFixed(1)}`;
  const basis = filter.basis === undefined ? '' : `, from the ${filter.basis}`;
  return `${formatStops(filter.additionalStops)} stops${spread}${basis}`;
}

function filterNeeded({ filter }: ReportedRecording): Sum {
  if (filter?.neededStops === undefined) return undefined;
  const { fitted, additionalStops, neededStops } = filter;
  const result = `${neededStops.toFixed(1)} stops`;
  if (fitted === undefined || additionalStops === undefined) return result;
  const floor = fitted.stops + additionalStops < 0 ? ', not below 0' : '';
  return `${fitted.stops.toFixed(1)} (${fitted.label}, ${fitted.source}) ${formatStops(additionalStops)} = ${result}${floor}`;
}

function bestOfKit({ filter }: ReportedRecording): Sum {
  if (filter?.pick === undefined) return undefined;
  const { label, stops, leavesStops } = filter.pick;
  return `${label}, ${stopsInWords(stops)}; leaves ${formatStops(leavesStops)} stops`;
}

function clipped({ picture, kind }: ReportedRecording): Sum {
  if (picture === undefined) return undefined;
  const { clippedFraction, clippedSpans, ceiling } = picture;
  const white = `(white taken at ${formatPercent(ceiling.signal)} of the ${ceiling.basis} peak)`;
  if (kind === 'still') return `${formatPercent(clippedFraction.max)} of the picture ${white}`;
  const spans = clippedSpans.length === 0 ? '' : `; ${clippedSpans.slice(0, 4).map(formatSpan).join(', ')}`;
  const more = clippedSpans.length > 4 ? ' and later' : '';
  return (
    `${formatPercent(clippedFraction.max)} at most, ${formatPercent(clippedFraction.median)} typically ` +
    `${white}${spans}${more}`
  );
}

/** How far the burnt part was over, and where that comes from. */
function overexposed({ picture }: ReportedRecording): Sum {
  if (picture?.overexposure === undefined) return undefined;
  const { leastStops, lowStops, highStops, basis } = picture.overexposure;
  const from =
    basis === 'darker-frames' ? 'frames of the same view that were darker' : 'as much burnt in other scenes';
  if (highStops === undefined)
    return `at least ${stopsInWords(leastStops)} for its highlights, four times of five; by ${from}`;
  const interval = `${lowStops.toFixed(1)} to ${stopsInWords(highStops)}`;
  return `${interval} for its highlights, four times of five; by ${from}`;
}

const closerWords: Readonly<Record<CloserReason, string>> = {
  'no-short-cut': 'key frames lie too far apart, or the file has no table of them, for a first look at fewer',
  'copy-differs': 'pictures of the low-resolution copy differ',
  'few-pictures': 'a first look gave too few',
  'long-clip': 'the clip is long',
  'settings-change': 'the settings changed while it ran',
  'pictures-differ': 'its pictures differ',
  'share-near-limit': 'a clipped or crushed share is near a limit',
  'level-near-limit': 'its brightness is near a limit',
  'motion-near-limit': 'its motion is near what can be seen',
};

function lookedAt({ picture, kind }: ReportedRecording): Sum {
  if (picture === undefined || kind === 'still') return undefined;
  const { framesMeasured, lookedCloserBecause = [], scoutedFrames } = picture;
  const why = lookedCloserBecause.map((reason) => closerWords[reason]).join(', ');
  const scouted =
    scoutedFrames === undefined
      ? ''
      : `, after ${counted(scoutedFrames, 'frame')} of the low-resolution copy showed where`;
  return `${counted(framesMeasured, 'frame')}${scouted}${why === '' ? '' : `: ${why}`}`;
}

function motion({ picture, facts }: ReportedRecording): Sum {
  if (picture?.motionPixelsPerFrame === undefined) return undefined;
  const { median, high } = picture.motionPixelsPerFrame;
  const width = facts.width === undefined ? '' : ` at ${facts.width.value} px width`;
  const step = picture.samplingStepSeconds;
  const sampled = step === undefined ? '' : `, looked at every ${formatDuration(step)}`;
  return `${median.toFixed(1)} px per frame typically, ${high.toFixed(1)} at its fastest${width}${sampled}`;
}

/** In a sum: (1/50). */
function exposureFactor(exposureSeconds: number): string {
  return exposureSeconds < 0.25 ? `(${formatShutter(exposureSeconds)})` : formatExposure(exposureSeconds);
}
