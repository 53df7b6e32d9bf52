import type { Ceiling, FrameMeasure, MaxAndMedian, Measurement } from '../domain/measurement.ts';
import { median, quantile } from '../domain/statistics.ts';

export type PictureSummary = Omit<Measurement, 'samplingStepSeconds' | 'motionPixelsPerFrame' | 'endedEarly'>;

/** What the looked-at pictures of one recording come to. */
export function summarise(
  frames: readonly FrameMeasure[],
  ceiling: Ceiling,
  clippedSpans: Measurement['clippedSpans'],
): PictureSummary {
  const worst = frames.reduce<FrameMeasure | undefined>(
    (most, frame) => (most && most.clippedFraction >= frame.clippedFraction ? most : frame),
    undefined,
  );
  const burnt = frames.toSorted((a, b) => b.channelClippedFraction - a.channelClippedFraction)[0]
    ?.burntChannels;
  const levels = frames.flatMap(({ levelStops }) => (levelStops === undefined ? [] : [levelStops]));
  const [low, middle, high] = [quantile(levels, 0.05), median(levels), quantile(levels, 0.95)];
  return {
    framesMeasured: frames.length,
    frames,
    ceiling: { signal: ceiling.signal, basis: ceiling.basis },
    clippedFraction: maxAndMedian(frames.map((frame) => frame.clippedFraction)),
    channelClippedFraction: maxAndMedian(frames.map((frame) => frame.channelClippedFraction)),
    clippedSpans,
    clippedShape: worst?.clippedShape,
    largestRegionFraction: worst?.clippedShape && worst.largestRegionFraction,
    clippedThirds: worst?.clippedThirds,
    clippedSpots: worst?.clippedSpots,
    burntChannels: burnt,
    ...lightOf(frames),
    crushedFraction: maxAndMedian(frames.map((frame) => frame.crushedFraction)),
    levelStops:
      low === undefined || middle === undefined || high === undefined
        ? undefined
        : { median: middle, low, high },
  };
}

/** Light of the frame whose level is the middle one, and the head-room of the frame that has least. */
function lightOf(
  frames: readonly FrameMeasure[],
): Pick<Measurement, 'lightQuantilesStops' | 'headroomStops'> {
  const lit = frames.filter(({ lightQuantilesStops }) => lightQuantilesStops !== undefined);
  const byLevel = lit.toSorted((a, b) => (a.levelStops ?? 0) - (b.levelStops ?? 0));
  const typical = byLevel[Math.floor(byLevel.length / 2)]?.lightQuantilesStops;
  const headrooms = frames.flatMap(({ headroomStops }) => headroomStops ?? []);
  return {
    lightQuantilesStops: typical,
    headroomStops: headrooms.length === 0 ? undefined : Math.min(...headrooms),
  };
}

function maxAndMedian(fractions: readonly number[]): MaxAndMedian {
  return { max: fractions.reduce((most, one) => Math.max(most, one), 0), median: median(fractions) ?? 0 };
}
