import { displayText } from '../domain/displayText.ts';
import type { Alternative } from '../domain/advice.ts';
import type { ExposureBasis, Finding, FindingKind } from '../domain/finding.ts';
import type { ShutterReason } from '../domain/measuredShutter.ts';
import type { RecordingKind } from '../domain/recording.ts';
import type { ReportedShutter } from '../domain/report.ts';
import { factLabel } from './factWording.ts';
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

/** What a sentence can say beyond the finding itself; what is absent is not said, unknown motion is said. */
export interface FindingContext {
  readonly recordingKind?: RecordingKind;
  readonly matters?: ReportedShutter['matters'];
  readonly windowStops?: readonly [number, number];
}

/** The member of the union that holds `K`; `Extract` would lose members that share their shape between kinds. */
type FindingOf<K extends FindingKind, F = Finding> = F extends { readonly kind: infer Kinds }
  ? K extends Kinds
    ? F
    : never
  : never;
type Sentences = { readonly [K in FindingKind]: (finding: FindingOf<K>, context: FindingContext) => string };

const sentences: Sentences = {
  'shutter-short': (finding, { matters }) =>
    `${shutterComparison(finding)} too short. ${shutterConsequence(matters, 'look choppy', 'choppiness')}`,
  'shutter-long': (finding, { matters }) =>
    `${shutterComparison(finding)} too long. ${shutterConsequence(matters, 'look smeared', 'smear')}`,
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
  'shutter-short-by-blur': ({ highDegrees, targetDegrees }, { matters }) =>
    `No exposure time was recorded, but the motion blur shows a short shutter: at most ${formatAngle(highDegrees)}, where ` +
    `${formatAngle(targetDegrees)} was wanted. ${shutterConsequence(matters, 'look choppy', 'choppiness')}`,
  'shutter-contradicted': ({ recordedDegrees, lowDegrees, highDegrees }) =>
    `The motion blur does not fit what was recorded: ${formatAngle(recordedDegrees)} by the recorded exposure, between ` +
    `${formatAngle(lowDegrees)} and ${formatAngle(highDegrees)} by the blur. The frame rate may have been converted, the picture ` +
    'stabilised, or the tag may be wrong.',
  'highlights-clipped': (finding, { recordingKind }) => clippedHighlights(finding, recordingKind),
  'disc-clipped': ({ maxFraction, shape }) =>
    `${shape === 'disc' ? 'A small round spot' : 'A small area'} is pure white, ${formatPercent(maxFraction)} of the ` +
    'picture at most: probably the sun, its reflection or a lamp. No filter would bring detail back there, and none is needed for it.',
  'shadows-crushed': ({ maxFraction }) =>
    `Up to ${formatPercent(maxFraction)} of the picture is pure black; no detail is left there.`,
  'too-bright': ({ offsetStops, basis }, { windowStops }) =>
    `The picture is ${stopsInWords(offsetStops)} over${wanted(windowStops)}, ${exposureBasis[basis]}.`,
  'too-dark': ({ offsetStops, basis }, { windowStops }) =>
    `The picture is ${stopsInWords(offsetStops)} under${wanted(windowStops)}, ${exposureBasis[basis]}.`,
  'iso-raised': ({ iso, baseIso, overStops }) =>
    `ISO ${Math.round(iso)} is ${stopsInWords(overStops)} above base ISO ${Math.round(baseIso)}, which costs noise and ` +
    'highlight room: the filter was too strong, or the light was low.',
  'exposure-drifts': ({ rangeStops }) =>
    `The exposure changes by ${stopsInWords(rangeStops)} during the clip, so brightness or blur shifts within the shot. ` +
    'Lock exposure before recording.',
  'sources-disagree': ({ fact, chosen, other }) =>
    `Two sources disagree on ${factLabel(fact)}: ${displayText(chosen)} was used, another one says ${displayText(other)}.`,
  'uneven-frames': ({ timing, irregularFraction }) =>
    `${unevenFrames[timing]}${irregularFraction === undefined ? '' : ` (${formatPercent(irregularFraction)} of the gaps looked at)`}. ` +
    'The shutter angle holds for the usual frame only, and the clip may judder after editing at a constant rate.',
  'split-part': ({ continuesPath }) =>
    `This file goes on where ${displayText(continuesPath)} ends: the camera split one recording at its size limit. Join them in the edit.`,
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

const unknownShutter: Readonly<Record<FindingOf<'shutter-unknown'>['missing'], string>> = {
  exposure: 'No exposure time was recorded, so the shutter angle is unknown.',
  'frame-rate': 'No usable frame rate was recorded, so the shutter angle is unknown.',
};

const exposureBasis: Readonly<Record<ExposureBasis, string>> = {
  metered: "by the camera's own meter",
  picture: 'judged by its mean brightness, which also depends on the subject',
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

function shutterConsequence(matters: FindingContext['matters'], look: string, effect: string): string {
  if (matters === 'yes') return `The picture moves enough for it to ${look}.`;
  if (matters === 'no') return `The picture hardly moves, so no ${effect} will be seen.`;
  return `How much the picture moves is not known, so neither is whether it will ${look}.`;
}

function clippedHighlights(
  finding: FindingOf<'highlights-clipped'>,
  kind: RecordingKind | undefined,
): string {
  const { maxFraction, medianFraction, spanCount, startSeconds, endSeconds } = finding;
  const lost = 'No detail is left there, and none can be brought back.';
  if (kind === 'still')
    return `Highlights are clipped in ${formatPercent(maxFraction)} of the picture. ${lost}`;
  const where =
    spanCount === 1 && startSeconds !== undefined && endSeconds !== undefined
      ? `, from ${formatSpan({ startSeconds, endSeconds })}`
      : spanCount > 1
        ? `, in ${counted(spanCount, 'stretch', 'stretches')} of the clip`
        : '';
  return (
    `Highlights are clipped in up to ${formatPercent(maxFraction)} of the picture ` +
    `(${formatPercent(medianFraction)} in a typical frame)${where}. ${lost}`
  );
}

function wanted(windowStops: readonly [number, number] | undefined): string {
  if (windowStops === undefined) return '';
  return ` (${formatStops(windowStops[0])} to ${formatStops(windowStops[1])} is wanted)`;
}

type AlternativeOf<K extends Alternative['kind']> = Extract<Alternative, { readonly kind: K }>;
type AlternativeSentences = {
  readonly [K in Alternative['kind']]: (alternative: AlternativeOf<K>) => string;
};

const alternativeSentences: AlternativeSentences = {
  'nearest-leaves-outside': ({ label, leavesStops }) =>
    `${displayText(label)} comes nearest in this kit and still leaves the picture ${overOrUnder(leavesStops)}, outside the window.`,
  'raise-iso': ({ label, iso, leavesStops }) =>
    `${displayText(label)} with ISO raised to ${Math.round(iso)} leaves the picture ${overOrUnder(leavesStops)}.`,
  'stop-down': ({ label, fNumber, leavesStops }) =>
    `${displayText(label)} with the aperture at f/${Number(fNumber.toFixed(1))} leaves the picture ${overOrUnder(leavesStops)}.`,
  'other-frame-rate': ({ label, framesPerSecond, leavesStops }) =>
    `${displayText(label)} at ${formatRate(framesPerSecond)} fps leaves the picture ${overOrUnder(leavesStops)}.`,
  stack: ({ labels, stops, leavesStops }) =>
    `${displayText(labels[0])} and ${displayText(labels[1])} together take ${stopsInWords(stops)} and leave the picture ${overOrUnder(leavesStops)}.`,
  'shutter-within-tolerance': ({ label, exposureSeconds }) =>
    `${displayText(label)} with ${formatExposure(exposureSeconds)} keeps the shutter within its tolerance.`,
  'no-filter-needed': () => 'No filter is needed in this light.',
  'strength-not-in-kit': ({ stops, factor }) =>
    `This kit has nothing near ${stopsInWords(stops)} (an ND${Math.round(factor)}).`,
};

/** What else would have worked, in one sentence. */
export function alternativeText(alternative: Alternative): string {
  const sentence = alternativeSentences[alternative.kind] as (alternative: Alternative) => string;
  return sentence(alternative);
}

function overOrUnder(stops: number): string {
  if (Math.abs(stops) < 0.05) return 'exposed right';
  return `${stopsInWords(stops)} ${stops > 0 ? 'over' : 'under'}`;
}
