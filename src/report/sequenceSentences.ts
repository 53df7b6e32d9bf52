import type { CameraMotion, FindingKind, MissingFrame } from '../domain/finding.ts';
import { atLeast, judgedBy } from './basisWording.ts';
import type { FindingOf, SentencesFor } from './findingContext.ts';
import { counted, formatDuration, formatExposure, formatPercent, stopsInWords } from '../domain/format.ts';

type SequenceKind = Extract<FindingKind, `bracket-${string}` | `series-${string}`>;

/** Sentences about brackets and interval series as a whole. */
export const sequenceSentences: SentencesFor<SequenceKind> = {
  'bracket-frame-missing': ({ frames, missing }) =>
    `Of this bracket ${counted(frames, 'frame')} ${frames === 1 ? 'is' : 'are'} there, and ${missingFrame[missing]}.`,
  'bracket-uneven': ({ smallestStops, largestStops }) =>
    `The steps of the bracket are uneven, from ${stopsInWords(smallestStops)} to ${stopsInWords(largestStops)}.`,
  'bracket-settings-change': ({ settings }) =>
    `Within the bracket ${settings.join(' and ')} changed: only the exposure time may, or the frames differ in ` +
    `${settings.includes('aperture') ? 'sharpness' : 'noise'} and do not merge cleanly (${counted(settings.length, 'setting')} moved).`,
  'bracket-highlights-lost': ({ fraction }) =>
    `Even the darkest frame of the bracket burns in ${formatPercent(fraction)} of the picture, so merging brings nothing back there.`,
  'bracket-shadows-lost': ({ fraction }) =>
    `Even the brightest frame of the bracket is pure black in ${formatPercent(fraction)} of the picture, so merging lifts nothing there.`,
  'series-exposure-short': (finding) => shortExposure(finding),
  'series-frames-dropped': ({ missingFrames, gaps, longestGapSeconds }) =>
    `The series lacks ${counted(missingFrames, 'frame')}, in ${counted(gaps, 'place')}; ` +
    `the longest pause is ${formatDuration(longestGapSeconds)}. The played series jumps there.`,
  'series-exposure-steps': ({ count, largestStops }) =>
    `The exposure settings step ${count === 1 ? 'once' : `${count} times`} from one frame to the next, by ${stopsInWords(largestStops)} at most: ` +
    'the played series flickers.',
  'series-highlights-clipped': ({ frames, ofFrames, maxFraction }) =>
    `Highlights are clipped in ${frames} of ${counted(ofFrames, 'frame')}, in up to ${formatPercent(maxFraction)} of the picture. ` +
    'No detail is left there to bring back.',
  'series-too-bright': (finding) =>
    `The usual frame of the series is ${atLeast(finding)}${stopsInWords(finding.offsetStops)} over, ${judgedBy(finding)}.`,
  'series-too-dark': (finding) =>
    `The usual frame of the series is ${stopsInWords(finding.offsetStops)} under, ${judgedBy(finding)}.`,
};

const missingFrame: Readonly<Record<MissingFrame, string>> = {
  darkest: 'the darkest is missing: it should hold the highlights',
  brightest: 'the brightest is missing: it should lift the shadows',
  between: 'one in between is missing: there is a double step',
  'darkest or brightest': 'one at an end is missing: brackets have an odd number',
};

/** Half a second of five: a fifth of the half. Common practice, no source; the margin keeps marks inside. */
const someBlurShare = 0.199;

const motionWords: Readonly<Record<CameraMotion, string>> = {
  moving: 'The camera moved between frames, so the series will look stepped.',
  hovering: 'The camera hovered, so only what moves by itself will look stepped.',
  unknown: 'What moves will look stepped.',
};

function shortExposure(finding: FindingOf<'series-exposure-short'>): string {
  const { exposureSeconds, intervalSeconds, targetSeconds, camera, discFraction } = finding;
  const stops = Math.log2(targetSeconds / exposureSeconds);
  const said =
    `Each frame was exposed for ${formatExposure(exposureSeconds)} of ${formatDuration(intervalSeconds)}; ` +
    `${formatExposure(targetSeconds)} makes motion flow, ${stopsInWords(stops)} more. ` +
    `${exposureSeconds >= someBlurShare * targetSeconds ? 'Some blur shows already. ' : ''}${motionWords[camera]}`;
  return discFraction === undefined ? said : `${said} ${sunTrade(discFraction)}`;
}

/** A burnt sun does not get worse by a filter, only by a longer exposure without one. */
function sunTrade(discFraction: number): string {
  return (
    `The sun (or a lamp) burns in ${formatPercent(discFraction)} of the picture at this exposure: a longer one without a stronger ` +
    'filter widens that spot, with one that takes as much as the time adds the spot stays as it is.'
  );
}
