import type { FindingKind } from '../domain/finding.ts';
import type { ShutterReason } from '../domain/shutter.ts';
import type { FindingContext, FindingOf, SentencesFor } from './findingContext.ts';
import {
  formatAngle,
  formatBlurAngle,
  formatBlurRange,
  formatExposure,
  formatPercent,
  formatRate,
  formatStops,
  stopsInWords,
} from '../domain/format.ts';

type ShutterKind = Extract<FindingKind, `shutter-${string}`>;

/** Sentences about the shutter of a clip. */
export const shutterSentences: SentencesFor<ShutterKind> = {
  'shutter-short': (finding, context) =>
    `${shutterComparison(finding)} too short for ${target(finding)}. ${shutterConsequence(context, choppy)}`,
  'shutter-long': (finding, context) =>
    `${shutterComparison(finding)} too long for ${target(finding)}. ${shutterConsequence(context, smeared)}`,
  'shutter-edge': ({ exposureSeconds, angleDegrees, offsetStops, countedOn }) =>
    `The shutter is near the edge of its tolerance: ${formatExposure(exposureSeconds)} is ${formatAngle(angleDegrees)}` +
    `${countedOn === 'field' ? ' of a field' : ''}, ` +
    `${formatStops(offsetStops)} stops from the target. Nothing needs to be done.`,
  'shutter-field-or-frame': ({ exposureSeconds, onFrameDegrees, onFieldDegrees }) =>
    `The shutter was ${formatExposure(exposureSeconds)}, and the picture is stored in fields: an angle of ` +
    `${formatAngle(onFrameDegrees)} if both fields of a frame are of one moment, of ${formatAngle(onFieldDegrees)} if each has its own. ` +
    'Nothing tells which of them, so neither is judged.',
  'shutter-impossible': ({ exposureSeconds, frameSeconds, countedOn = 'frame' }) =>
    `The recorded exposure of ${formatExposure(exposureSeconds)} cannot be true: a ${countedOn} lasts only ` +
    `${formatExposure(frameSeconds)} and the shutter cannot stay open longer. No angle is worked out from it.`,
  'shutter-unknown': (finding) =>
    finding.blurReason === undefined
      ? unknownShutter(finding)
      : `${unknownShutter(finding)} ${silentBlur[finding.blurReason]}`,
  'shutter-short-by-blur': ({ highDegrees, targetDegrees }, context) =>
    `No exposure time is known, but the motion blur shows a short shutter: at most ${formatBlurAngle(highDegrees)}, where ` +
    `${formatAngle(targetDegrees)} was wanted. ${shutterConsequence(context, choppy)}`,
  'shutter-contradicted': ({ recordedDegrees, ...range }) =>
    `The motion blur does not fit what was recorded: ${formatAngle(recordedDegrees)} by the recorded exposure, ` +
    `${formatBlurRange(range)} by the blur. The frame rate may have been converted, the picture stabilised, or the tag may be wrong.`,
};

function unknownShutter({ missing, tracks = [], refused }: FindingOf<'shutter-unknown'>): string {
  switch (missing) {
    case 'exposure':
      return 'No exposure time was recorded, so the shutter angle is unknown.';
    case 'frame-rate':
      return 'No usable frame rate was recorded, so the shutter angle is unknown.';
    case 'unread-track':
      return (
        `The clip comes with ${tracks.slice(0, mostTracks).join(' and ')} that Halfturn cannot read, ` +
        'so whether the exposure was recorded is not known, and neither is the shutter angle.'
      );
    case 'believable-exposure':
      return `The exposure time that was recorded (${refused?.raw}, ${refused?.source}) ${refused?.reason}, so the shutter angle is unknown.`;
  }
}

const mostTracks = 3;

const silentBlur: Readonly<Record<ShutterReason, string>> = {
  'too-few-pairs': 'There are too few frames to tell it from the motion blur.',
  'too-little-motion': 'The picture moves too little to tell it from the motion blur.',
  'too-little-texture': 'The picture holds too little detail to tell it from the motion blur.',
  'too-noisy': 'The picture is too noisy to tell it from the motion blur.',
  'too-compressed': 'Compression took the detail that would tell it from the motion blur.',
  'mixed-motions': 'Too many different motions in the picture keep it from being told from the motion blur.',
  'bands-disagree': 'Slow and fast parts of the picture tell different angles, so none is believed.',
  'windows-disagree': 'Different moments of the clip tell different angles, so none is believed.',
  'repeated-frames': 'Frames are shown twice, so the motion blur tells nothing.',
  'uneven-sharpness':
    'Consecutive frames differ in sharpness, as blended or heavily compressed ones do, so the motion blur tells nothing.',
  'repeating-texture': 'A repeating pattern in the picture keeps it from being told from the motion blur.',
  'interval-too-wide': 'The motion blur leaves too wide a range of angles to say one.',
  interlaced: 'The picture is stored in fields that may be of two moments, so the motion blur tells nothing.',
};

/** Why motion blur does not tell a shutter, as a sentence. */
export function blurReasonText(reason: ShutterReason): string {
  return silentBlur[reason];
}

function shutterComparison(finding: FindingOf<'shutter-short'>): string {
  const { exposureSeconds, angleDegrees, offsetStops, interval } = finding;
  const rate = formatRate(angleDegrees / 360 / exposureSeconds);
  const shutter = `${formatExposure(exposureSeconds)} at ${rate} ${finding.countedOn === 'field' ? 'fields/s' : 'fps'}`;
  const said =
    interval === undefined
      ? `The shutter was ${shutter}, an angle of ${formatAngle(angleDegrees)}`
      : `By its motion blur the shutter was about ${shutter}, an angle of ${formatBlurAngle(angleDegrees)} (${formatBlurRange(interval)})`;
  return `${said}: ${stopsInWords(offsetStops)}`;
}

function target({ angleDegrees, offsetStops, targetSeconds }: FindingOf<'shutter-short'>): string {
  return `${formatAngle(angleDegrees / 2 ** offsetStops)}, which is ${formatExposure(targetSeconds)}`;
}

/** How a shutter shows: what the picture does, what one sees, and what is measured of it. */
interface ShutterLook {
  readonly look: string;
  readonly effect: string;
  readonly trace: string;
}

const choppy: ShutterLook = { look: 'look choppy', effect: 'choppiness', trace: 'gaps' };
const smeared: ShutterLook = { look: 'look smeared', effect: 'smear', trace: 'blur' };

function shutterConsequence({ matters, seen }: FindingContext, { look, effect, trace }: ShutterLook): string {
  const numbers =
    seen === undefined
      ? ''
      : `: ${trace} of ${formatPercent(seen.seenFractionOfWidth)} of its width, where ${formatPercent(seen.passableFractionOfWidth)} passes`;
  if (matters === 'yes') return `The picture moves enough for it to ${look}${numbers}.`;
  if (matters === 'no') return `The picture hardly moves, so no ${effect} will be seen${numbers}.`;
  return `How much the picture moves is not known, so neither is whether it will ${look}.`;
}
