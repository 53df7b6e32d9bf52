import type { Alternative, SeriesAlternative } from '../domain/advice.ts';
import { displayText } from '../domain/displayText.ts';
import {
  counted,
  formatAngle,
  formatAperture,
  formatDuration,
  formatExposure,
  formatRate,
  stopsInWords,
} from '../domain/format.ts';

type Of<Union extends { readonly kind: string }, K extends Union['kind']> = Union extends {
  readonly kind: infer Kinds;
}
  ? K extends Kinds
    ? Union
    : never
  : never;
type SentencesOf<Union extends { readonly kind: string }> = {
  readonly [K in Union['kind']]: (alternative: Of<Union, K>) => string;
};

const alternativeSentences: SentencesOf<Alternative> = {
  'nearest-leaves-outside': ({ label, leavesStops }) =>
    `${named(label)} comes nearest in this kit and still leaves the picture ${againstWanted(leavesStops)}.`,
  'second-base-iso': ({ label, iso, leavesStops }) =>
    `${named(label)} at the second base ISO of ${Math.round(iso)} leaves the picture ${againstWanted(leavesStops)}; it costs a little noise.`,
  'raise-iso': ({ label, iso, leavesStops }) =>
    `${named(label)} with ISO raised to ${Math.round(iso)} leaves the picture ${againstWanted(leavesStops)}; it costs noise and room in the highlights.`,
  'stop-down': ({ label, fNumber, leavesStops }) =>
    `${named(label)} with the aperture at ${formatAperture(fNumber)} leaves the picture ${againstWanted(leavesStops)}; ` +
    'it costs nothing but some sharpness where the opening gets very small.',
  'other-frame-rate': ({ label, framesPerSecond, exposureSeconds, leavesStops }) =>
    `${named(label)} at ${formatRate(framesPerSecond)} fps and ${formatExposure(exposureSeconds)} leaves the picture ${againstWanted(leavesStops)}; ` +
    'it costs the frame rate that the rest of the flight has.',
  stack: ({ labels, stops, leavesStops }) =>
    `${named(labels[0])} and ${named(labels[1])} together take ${stopsInWords(stops)} and leave the picture ${againstWanted(leavesStops)}; ` +
    'two filters may darken the corners, add reflections, and weigh on the gimbal.',
  'shutter-within-tolerance': ({ label, exposureSeconds }) =>
    `${named(label)} with ${formatExposure(exposureSeconds)} keeps the shutter within its tolerance; it costs a part of that tolerance.`,
  'darker-by-shutter': ({ label, exposureSeconds, angleDegrees }) =>
    `${named(label)} with ${formatExposure(exposureSeconds)} holds the highlights as well; it costs motion blur, the angle falls to ${formatAngle(angleDegrees)}.`,
  'wait-for-light': ({ label, stops }) =>
    `${named(label)} is enough once the light has sunk by ${stopsInWords(stops)}: a clear sky loses about 1 stop while the sun sinks from ` +
    '60° to 30°, 2 more to 10°, 4 more until it sets. It costs the time, and the light changes its colour.',
  'no-filter-needed': () => 'No filter is needed in this light.',
  'strength-not-in-kit': ({ stops, factor }) =>
    `This kit has nothing near ${stopsInWords(stops)} (an ND${Math.round(factor)}); it would have to be bought.`,
};

const seriesSentences: SentencesOf<SeriesAlternative> = {
  'camera-limit': ({ longestSeconds, targetSeconds }) =>
    `The camera exposes for ${formatExposure(longestSeconds)} at most, so ${formatExposure(targetSeconds)} cannot be reached in one frame.`,
  average: ({ count, exposureSeconds }) =>
    `Or take ${counted(count, 'frame')} of ${formatExposure(exposureSeconds)} in each interval and average them: that blurs like one long ` +
    'exposure and lowers the noise; it costs card space, and the pauses between frames may show.',
  'shorter-interval': ({ intervalSeconds }) =>
    `Or take a frame every ${formatDuration(intervalSeconds)} with the exposure as it was: it costs more frames, and the series plays slower.`,
  'series-stack': ({ labels, stops }) =>
    `${named(labels[0])} and ${named(labels[1])} together take ${stopsInWords(stops)}; two filters may darken the corners and weigh on the gimbal.`,
  'series-strength-not-in-kit': ({ stops, factor }) =>
    `This kit has nothing near ${stopsInWords(stops)} (an ND${Math.round(factor)}); it would have to be bought.`,
};

/** What else would have worked and what it costs, in one or two sentences. */
export function alternativeText(alternative: Alternative): string {
  const sentence = alternativeSentences[alternative.kind] as (alternative: Alternative) => string;
  return sentence(alternative);
}

/** The same for an interval series. */
export function seriesAlternativeText(alternative: SeriesAlternative): string {
  const sentence = seriesSentences[alternative.kind] as (alternative: SeriesAlternative) => string;
  return sentence(alternative);
}

function named(label: string): string {
  return label === 'none' ? 'No filter' : displayText(label);
}

function againstWanted(stops: number): string {
  if (Math.abs(stops) < 0.05) return 'as bright as wanted';
  return `${stopsInWords(stops)} ${stops > 0 ? 'over' : 'under'} what is wanted`;
}
