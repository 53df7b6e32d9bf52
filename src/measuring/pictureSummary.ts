import {
  noScenes,
  type Ceiling,
  type FrameMeasure,
  type Measurement,
  type NoScene,
} from '../domain/measurement.ts';
import { median, quantile } from '../domain/statistics.ts';

/** What the looked-at pictures of one recording come to. Those that are no scene count only where all are none. */
export function summarise(
  all: readonly FrameMeasure[],
  ceiling: Ceiling,
  clippedSpans: Measurement['clippedSpans'],
): Measurement {
  const scenes = all.filter(({ noScene }) => noScene === undefined);
  const frames = scenes.length > 0 ? scenes : all;
  const worst = frames.reduce<FrameMeasure | undefined>(
    (most, frame) => (most && most.clippedFraction >= frame.clippedFraction ? most : frame),
    undefined,
  );
  const burnt = frames.toSorted((a, b) => b.channelClippedFraction - a.channelClippedFraction)[0]
    ?.burntChannels;
  const levels = frames.flatMap(({ levelStops }) => levelStops ?? []);
  const lit = frames.filter(({ lightQuantilesStops }) => lightQuantilesStops !== undefined);
  const byLevel = lit.toSorted((a, b) => (a.levelStops ?? 0) - (b.levelStops ?? 0));
  const headrooms = frames.flatMap(({ headroomStops }) => headroomStops ?? []);
  const [low, middle, high] = [quantile(levels, 0.05), median(levels), quantile(levels, 0.95)];
  return {
    framesMeasured: all.length,
    frames: all,
    noScene: scenes.length > 0 ? undefined : commonest(all.flatMap(({ noScene }) => noScene ?? [])),
    ceiling: { signal: ceiling.signal, basis: ceiling.basis },
    clippedFraction: maxAndMedian(frames.map((frame) => frame.clippedFraction)),
    channelClippedFraction: maxAndMedian(frames.map((frame) => frame.channelClippedFraction)),
    clippedSpans,
    clippedShape: worst?.clippedShape,
    largestRegionFraction: worst?.clippedShape && worst.largestRegionFraction,
    clippedThirds: worst?.clippedThirds,
    clippedSpots: worst?.clippedSpots,
    burntChannels: burnt,
    lightQuantilesStops: byLevel[Math.floor(byLevel.length / 2)]?.lightQuantilesStops,
    headroomStops: headrooms.length === 0 ? undefined : Math.min(...headrooms),
    crushedFraction: maxAndMedian(frames.map((frame) => frame.crushedFraction)),
    levelStops:
      low === undefined || middle === undefined || high === undefined
        ? undefined
        : { median: middle, low, high },
  };
}

function commonest(kinds: readonly NoScene[]): NoScene | undefined {
  const count = (kind: NoScene): number => kinds.filter((other) => other === kind).length;
  return noScenes.toSorted((a, b) => count(b) - count(a)).find((kind) => kinds.includes(kind));
}

function maxAndMedian(fractions: readonly number[]): Measurement['clippedFraction'] {
  return {
    max: fractions.reduce((most, fraction) => Math.max(most, fraction), 0),
    median: median(fractions) ?? 0,
  };
}
