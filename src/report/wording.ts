import { displayText } from '../domain/displayText.ts';
import type { Finding, FindingKind } from '../domain/finding.ts';
import type { RangeName } from '../domain/recording.ts';
import { atLeast, judgedBy } from './basisWording.ts';
import { factLabel } from '../domain/factWording.ts';
import type { FindingContext, FindingOf, SentencesFor } from './findingContext.ts';
import { flightSentences } from './flightSentences.ts';
import {
  counted,
  formatDuration,
  formatExposure,
  formatPercent,
  formatSpan,
  formatStops,
  stopsInWords,
} from '../domain/format.ts';
import { sequenceSentences } from './sequenceSentences.ts';
import { shutterSentences } from './shutterSentences.ts';
import { fillsClip, type StretchOfClip } from './wholeClip.ts';

type Sentences = SentencesFor<FindingKind>;

const sentences: Sentences = {
  ...shutterSentences,
  'highlights-clipped': clippedHighlights,
  'disc-clipped': ({ maxFraction, shape }) =>
    `${shape === 'disc' ? 'A small round spot' : 'A small area'} is pure white, ${formatPercent(maxFraction)} of the ` +
    'picture at most: probably the sun, its reflection or a lamp. No filter would bring detail back there, and none is needed for it.',
  'shadows-crushed': ({ maxFraction }, { recordingKind }) =>
    `Pure black fills ${recordingKind === 'still' ? '' : 'up to '}${formatPercent(maxFraction)} of the picture; no detail is left there.`,
  'too-bright': (finding, { windowStops }) =>
    `The picture is ${atLeast(finding)}${stopsInWords(finding.offsetStops)} over${wanted(windowStops)}, ${judgedBy(finding)}.`,
  'too-dark': (finding, { windowStops }) =>
    `The picture is ${stopsInWords(finding.offsetStops)} under${wanted(windowStops)}, ${judgedBy(finding)}.`,
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
  'decoded-in-part': ({ atSeconds, reason, readFraction }) =>
    readFraction === undefined
      ? `The picture could be read only up to ${formatDuration(atSeconds)} (${displayText(reason)}). What was measured before that stands.`
      : `${stillReadInPart(readFraction)}. What was measured is of what could be read.`,
};

/** The coarse layers of some files come first: then all of the picture is there, without its detail. */
function stillReadInPart(readFraction: number): string {
  return readFraction >= 0.995
    ? 'The file ends early, or is damaged: the picture lacks detail'
    : `The file ends early, or is damaged: only about ${formatPercent(readFraction)} of the picture could be read`;
}

const unevenFrames: Readonly<Record<FindingOf<'uneven-frames'>['timing'], string>> = {
  variable: 'The frames are unevenly spaced in time',
  repeating: 'Frames are missing or shown twice',
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

/** The sentence that tells a pilot what is wrong and whether it matters. */
export function findingText(finding: Finding, context: FindingContext = {}): string {
  // The record above proves that kind and sentence belong together; TypeScript cannot follow that through the index.
  const sentence = sentences[finding.kind] as (finding: Finding, context: FindingContext) => string;
  return sentence(finding, context);
}

function clippedHighlights(
  finding: FindingOf<'highlights-clipped'>,
  { recordingKind, durationSeconds }: FindingContext,
): string {
  const { maxFraction, medianFraction, spanCount, startSeconds, endSeconds } = finding;
  const lost = 'No detail is left there to bring back.';
  if (recordingKind === 'still')
    return `Highlights are clipped in ${formatPercent(maxFraction)} of the picture. ${lost}`;
  const where =
    spanCount === 1 && startSeconds !== undefined && endSeconds !== undefined
      ? whereInClip({ startSeconds, endSeconds, durationSeconds })
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

function whereInClip(span: StretchOfClip): string {
  return fillsClip(span) ? ', all through the clip' : `, from ${formatSpan(span)}`;
}

function wanted(windowStops: readonly [number, number] | undefined): string {
  if (windowStops === undefined) return '';
  return ` (${formatStops(windowStops[0])} to ${formatStops(windowStops[1])} is wanted)`;
}
