import type { Track, TrackSample } from '../domain/recording.ts';
import type { MinMedianMax, ReportedTrack } from '../domain/reportedRecording.ts';
import { median } from '../domain/statistics.ts';

/** Samples of one clip. */
const mostOfOneClip = 600;
/** Of all clips together: a document of many clips would not fit into memory. */
const mostSamples = 20_000;

/** How many samples a clip may keep in a document that holds so many of them. */
export function timelineLength(clips: number): number {
  return Math.min(mostOfOneClip, Math.max(1, Math.floor(mostSamples / clips)));
}

/** What a clip recorded over time, summed up and thinned to `longestTimeline` samples. */
export function reportedTrack({ source, samples }: Track, longestTimeline: number): ReportedTrack {
  const step = Math.ceil(samples.length / longestTimeline);
  const spread = (name: 'exposureSeconds' | 'iso' | 'meteredOffsetStops') => {
    const range = minMedianMax(samples, name);
    return range === undefined ? {} : { [name]: range };
  };
  return {
    source,
    samples: samples.length,
    ...spread('exposureSeconds'),
    ...spread('iso'),
    ...spread('meteredOffsetStops'),
    timeline: samples.filter((_, index) => index % step === 0),
  };
}

function minMedianMax(
  samples: readonly TrackSample[],
  name: 'exposureSeconds' | 'iso' | 'meteredOffsetStops',
): MinMedianMax | undefined {
  const values = samples.map((sample) => sample[name]).filter((value) => value !== undefined);
  const middle = median(values);
  if (middle === undefined) return undefined;
  const sorted = values.toSorted((a, b) => a - b);
  return { min: sorted[0] ?? middle, median: middle, max: sorted.at(-1) ?? middle };
}
