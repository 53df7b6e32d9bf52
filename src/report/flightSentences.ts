import { displayText } from '../domain/displayText.ts';
import type { FindingKind } from '../domain/finding.ts';
import type { SentencesFor } from './findingContext.ts';
import { formatRate, stopsInWords } from '../domain/format.ts';

type FlightKind = Extract<FindingKind, 'slow-motion' | 'frame-rate-mix' | `filter-${string}`>;

/** Sentences about a recording beside the others of its flight, and about its rates. */
export const flightSentences: SentencesFor<FlightKind> = {
  'slow-motion': ({ captureFramesPerSecond, playbackFramesPerSecond }) => {
    const ratio = captureFramesPerSecond / playbackFramesPerSecond;
    const factor = Number(Math.max(ratio, 1 / ratio).toFixed(1));
    return (
      `Captured at ${formatRate(captureFramesPerSecond)} fps and played at ${formatRate(playbackFramesPerSecond)} fps: ` +
      `${factor} times ${ratio > 1 ? 'slower' : 'faster'} than life. The shutter is held against the capture rate.`
    );
  },
  'frame-rate-mix': ({ framesPerSecond, commonFramesPerSecond }) =>
    `At ${formatRate(framesPerSecond)} fps it does not go evenly with ${formatRate(commonFramesPerSecond)} fps, which fits most of the flight: ` +
    'cut together, frames are shown twice or left out, and motion stutters.',
  'filter-forgotten': ({ label, filterStops, brighterStops }) =>
    `Noted as fitted: ${displayText(label)}. But then the scene was ${stopsInWords(brighterStops)} brighter than at the ` +
    `recordings around it, and the filter takes ${stopsInWords(filterStops)}: it was probably not on.`,
  'filter-contradicted': ({ label, filterStops, lightStops }) =>
    `Noted as fitted: ${displayText(label)}. But beside the recordings around it the light fits ` +
    `a filter of ${lightStops < 0.05 ? 'no strength, so none' : stopsInWords(lightStops)}${filterStops === 0 ? '' : `, not ${stopsInWords(filterStops)}`}.`,
};
