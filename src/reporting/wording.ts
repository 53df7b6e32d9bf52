import { displayText } from '../domain/displayText.ts';
import type { Finding, FindingKind } from '../domain/finding.ts';
import type { ShutterReason } from '../domain/measuredShutter.ts';
import type { RangeName } from '../domain/recording.ts';
import { judgedBy } from './basisWording.ts';
import { factLabel } from './factWording.ts';
import type { FindingContext, FindingOf, SentencesFor } from './findingContext.ts';
import { flightSentences } from './flightSentences.ts';
import {
  counted,
  formatAngle,
  formatDuration,
  formatExposure,
  formatPercent,
  formatRate,
  formatSpan,
  formatStops,
  stopsInWords,
} from './format.ts';
import { sequenceSentences } from './sequenceSentences.ts';

type Sentences = SentencesFor<FindingKind>;

const sentences: Sentences = {
  'shutter-short': (finding, context) =>
    `${shutterComparison(finding)} too short. ${shutterConsequence(context, choppy)}`,
  'shutter-long': (finding, context) =>
    `${shutterComparison(finding)} too long. ${shutterConsequence(context, smeared)}`,
  'shutter-edge': ({ exposureSeconds, angleDegrees, offsetStops }) =>
    `The shutter is near the edge of its tolerance: ${formatExposure(exposureSeconds)} is ${formatAngle(angleDegrees)}, ` +
    `${formatStops(offsetStops)} stops from the target. Nothing needs to be done.`,
  'shutter-impossible': ({ exposureSeconds, frameSeconds }) =>
    `The recorded exposure of ${formatExposure(exposureSeconds)} cannot be true: a frame lasts only ` +
    `${formatExposure(frameSeconds)} and the shutter cannot stay open longer. No angle is worked out from it.`,
  'shutter-unknown': ({ missing, blurReason }) =>
    blurReason === undefined
      ? unknownShutter[missing]
      : `${unknownShutter[missing]} ${silentBlur[blurReason]}`,
  'shutter-short-by-blur': ({ highDegrees, targetDegrees }, context) =>
    `No exposure time was recorded, but the motion blur shows a short shutter: at most ${formatAngle(highDegrees)}, where ` +
    `${formatAngle(targetDegrees)} was wanted. ${shutterConsequence(context, choppy)}`,
  'shutter-contradicted': ({ recordedDegrees, lowDegrees, highDegrees }) =>
    `The motion blur does not fit what was recorded: ${formatAngle(recordedDegrees)} by the recorded exposure, between ` +
    `${formatAngle(lowDegrees)} and ${formatAngle(highDegrees)} by the blur. The frame rate may have been converted, the picture ` +
    'stabilised, or the tag may be wrong.',
  'highlights-clipped': clippedHighlights,
  'disc-clipped': ({ maxFraction, shape }) =>
    `${shape === 'disc' ? 'A small round spot' : 'A small area'} is pure white, ${formatPercent(maxFraction)} of the ` +
    'picture at most: probably the sun, its reflection or a lamp. No filter would bring detail back there, and none is needed for it.',
  'shadows-crushed': ({ maxFraction }, { recordingKind }) =>
    `Pure black fills ${recordingKind === 'still' ? '' : 'up to '}${formatPercent(maxFraction)} of the picture; no detail is left there.`,
  'too-bright': ({ offsetStops, basis }, { windowStops }) =>
    `The picture is ${stopsInWords(offsetStops)} over${wanted(windowStops)}, ${judgedBy[basis]}.`,
  'too-dark': ({ offsetStops, basis }, { windowStops }) =>
    `The picture is ${stopsInWords(offsetStops)} under${wanted(windowStops)}, ${judgedBy[basis]}.`,
  'iso-raised': ({ iso, baseIso, overStops }) =>
    `ISO ${Math.round(iso)} is ${stopsInWords(overStops)} above base ISO ${Math.round(baseIso)}, which costs noise and ` +
    'highlight room: the filter was too strong, or the light was low.',
  'exposure-drifts': ({ rangeStops }) =>
    `The exposure changes by ${stopsInWords(rangeStops)} during the clip, so brightness or blur shifts within the shot. ` +
    'Lock exposure before recording.',
  'exposure-pumps': ({ swings, largestStops, basis }) =>
    `The exposure goes up and down ${counted(swings, 'time')} during the clip, by up to ${stopsInWords(largestStops)}` +
    `${basis === 'picture' ? ', judged by the brightness of a picture that hardly moves' : ''}: automatic exposure was at work. Lock exposure before recording.`,
  flicker: flickerSentence,
  'range-contradicted': ({ recorded, used }) =>
    `The file says that its picture is in ${rangeText[recorded]}, but its codes are in ${rangeText[used]}. ` +
    `It was measured by its codes; programs that believe the file show ${recorded === 'full' ? 'grey blacks and dull whites' : 'shadows and highlights cut off'}.`,
  'sources-disagree': ({ fact, chosen, other }) =>
    `Two sources disagree on ${factLabel(fact)}: ${displayText(chosen)} was used, another one says ${displayText(other)}.`,
  'uneven-frames': ({ timing, irregularFraction }) =>
    `${unevenFrames[timing]}${irregularFraction === undefined ? '' : ` (${formatPercent(irregularFraction)} of the gaps looked at)`}. ` +
    'The shutter angle holds for the usual frame only, and the clip may judder after editing at a constant rate.',
  'split-part': ({ continuesPath }) =>
    `This file goes on where ${displayText(continuesPath)} ends: the camera split one recording at its size limit. Join them in the edit.`,
  ...flightSentences,
  ...sequenceSentences,
  'decoded-in-part': ({ atSeconds, reason }) =>
    `The picture could be read only up to ${formatDuration(atSeconds)} (${displayText(reason)}). What was measured before that stands.`,
};

const unevenFrames: Readonly<Record<FindingOf<'uneven-frames'>['timing'], string>> = {
  variable: 'The frames are unevenly spaced in time',
  repeating: 'Frames are missing or shown twice',
};

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
  'blended-frames': 'Frames look blended into each other, so the motion blur tells nothing.',
  'repeating-texture': 'A repeating pattern in the picture keeps it from being told from the motion blur.',
  'interval-too-wide': 'The motion blur leaves too wide a range of angles to say one.',
};

const rangeText: Readonly<Record<RangeName, string>> = {
  narrow: 'narrow range (16 to 235 of 8 bits)',
  full: 'full range (0 to 255 of 8 bits)',
};

function flickerSentence({ flickerStops, mainsHertz, safeExposuresSeconds }: FindingOf<'flicker'>): string {
  const what = `The brightness flickers by ${formatPercent(2 ** flickerStops - 1)} from frame to frame`;
  if (mainsHertz === undefined)
    return `${what}. What it comes from is not known: lamps or the exposure itself.`;
  const safe = (safeExposuresSeconds ?? []).map(formatExposure).join(' or ');
  const advice =
    safe === '' ? 'No shutter is free of it at this frame rate.' : `${safe} would be free of it.`;
  return `${what}, as lamps on ${mainsHertz} Hz mains make it do at this shutter. ${advice}`;
}

const unknownShutter: Readonly<Record<FindingOf<'shutter-unknown'>['missing'], string>> = {
  exposure: 'No exposure time was recorded, so the shutter angle is unknown.',
  'frame-rate': 'No usable frame rate was recorded, so the shutter angle is unknown.',
};

/** Why motion blur does not tell a shutter, as a sentence. */
export function blurReasonText(reason: ShutterReason): string {
  return silentBlur[reason];
}

/** The sentence that tells a pilot what is wrong and whether it matters. */
export function findingText(finding: Finding, context: FindingContext = {}): string {
  // The record above proves that kind and sentence belong together; TypeScript cannot follow that through the index.
  const sentence = sentences[finding.kind] as (finding: Finding, context: FindingContext) => string;
  return sentence(finding, context);
}

function shutterComparison(finding: FindingOf<'shutter-short'>): string {
  const { exposureSeconds, targetSeconds, angleDegrees, offsetStops, interval } = finding;
  const framesPerSecond = angleDegrees / 360 / exposureSeconds;
  const targetDegrees = angleDegrees / 2 ** offsetStops;
  return (
    `${interval === undefined ? 'The shutter was' : 'By its motion blur the shutter was about'} ${formatExposure(exposureSeconds)}, ` +
    `an angle of ${formatAngle(angleDegrees)}${interval === undefined ? '' : ` (${formatAngle(interval.lowDegrees)} to ${formatAngle(interval.highDegrees)})`} ` +
    `at ${formatRate(framesPerSecond)} fps; ` +
    `${formatAngle(targetDegrees)} needs ${formatExposure(targetSeconds)}. That is ${stopsInWords(offsetStops)}`
  );
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

function clippedHighlights(
  finding: FindingOf<'highlights-clipped'>,
  { recordingKind, durationSeconds }: FindingContext,
): string {
  const { maxFraction, medianFraction, spanCount, startSeconds, endSeconds } = finding;
  const lost = 'No detail is left there, and none can be brought back.';
  if (recordingKind === 'still')
    return `Highlights are clipped in ${formatPercent(maxFraction)} of the picture. ${lost}`;
  const where =
    spanCount === 1 && startSeconds !== undefined && endSeconds !== undefined
      ? whereInClip({ startSeconds, endSeconds }, durationSeconds)
      : spanCount > 1
        ? `, in ${counted(spanCount, 'stretch', 'stretches')} of the clip`
        : '';
  const [most, usual] = [formatPercent(maxFraction), formatPercent(medianFraction)];
  const howMuch =
    most === usual
      ? `in ${most} of the picture`
      : `in up to ${most} of the picture (${usual} in a typical frame)`;
  return `Highlights are clipped ${howMuch}${where}. ${lost}`;
}

/** Spans end at a frame that was looked at, so the whole clip may lack a little at its ends. */
const wholeClipShare = 0.9;

function whereInClip(
  span: { readonly startSeconds: number; readonly endSeconds: number },
  durationSeconds: number | undefined,
): string {
  const isWhole =
    durationSeconds !== undefined && span.endSeconds - span.startSeconds >= wholeClipShare * durationSeconds;
  return isWhole ? ', all through the clip' : `, from ${formatSpan(span)}`;
}

function wanted(windowStops: readonly [number, number] | undefined): string {
  if (windowStops === undefined) return '';
  return ` (${formatStops(windowStops[0])} to ${formatStops(windowStops[1])} is wanted)`;
}
