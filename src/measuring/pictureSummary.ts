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

// How much lies above the ceiling cannot be seen in the picture: scenes with the same clipped area were overexposed by
// anything between a little and several stops. So this is experience: pictures of nine sources (clips, aerial and other
// stills) and a hundred rendered scenes were made brighter by known amounts of 0.15 to 4 stops, each as often, and
// quantiles of the logarithm of the amount were fitted (least absolute deviations, both kinds of equal weight). Two
// things tell something of it: how much is lost, and how much more lies within half a stop below. Where many are close
// behind, few are far ahead. Of pictures that took no part in the fit, 83% (thirteen photographs) and 84% (a hundred
// scenes) lay inside the interval of 80%; where one source after the other was left out of the fit, 66% of its
// pictures did, as nine sources are few. test/bench/overexposureBench.ts does it again.

/** log2 of the amount in stops = constant + linear·a + square·a² + behind·b, see `overexposureOf`. */
type Quantile = Readonly<Record<'constant' | 'linear' | 'square' | 'behind', number>>;

/** Nineteen of twenty pictures lie above `least`; one of ten lies below `low`, one of ten above `high`. */
type Experience = Readonly<Record<'least' | 'low' | 'high', Quantile>>;

const withSlope: Experience = {
  least: { constant: -2.274, linear: 0.743, square: -0.061, behind: -1.213 },
  low: { constant: -1.668, linear: 0.971, square: -0.098, behind: -1.677 },
  high: { constant: 0.653, linear: 0.836, square: -0.095, behind: -1.743 },
};
/** For a transfer function that is not known: how far half a stop reaches down cannot be told. */
const byAreaAlone: Experience = {
  least: { constant: -2.681, linear: -0.247, square: 0.109, behind: 0 },
  low: { constant: -3.123, linear: 0.303, square: 0.04, behind: 0 },
  high: { constant: 0.427, linear: 0.406, square: -0.028, behind: 0 },
};
/** Beyond four times the lost area, more close behind says nothing more. */
const mostBehind = 2;
/** What the pictures of the experience were made brighter by, at the least; shorter tells nothing. */
const smallestStops = 0.15;
const acceptedThen = 0.01;

/**
 * How much darker a picture should have been; undefined where the area that is lost is accepted.
 *
 * @param nearlyClippedFraction share of the picture within half a stop of the ceiling or above it
 */
export function overexposureOf(
  clippedFraction: number,
  acceptedFraction: number,
  nearlyClippedFraction?: number,
): Measurement['overexposure'] {
  if (clippedFraction <= acceptedFraction) return undefined;
  const like = acceptedFraction > 0 ? (clippedFraction * acceptedThen) / acceptedFraction : 1;
  const overAccepted = Math.log2(Math.min(1, like) / acceptedThen);
  const behind =
    nearlyClippedFraction === undefined
      ? 0
      : Math.min(mostBehind, Math.max(0, Math.log2(nearlyClippedFraction / clippedFraction)));
  const { least, low, high } = nearlyClippedFraction === undefined ? byAreaAlone : withSlope;
  const stops = ({ constant, linear, square, behind: perBehind }: Quantile): number =>
    Math.max(
      smallestStops,
      2 ** (constant + linear * overAccepted + square * overAccepted ** 2 + perBehind * behind),
    );
  return {
    leastStops: Math.min(stops(least), stops(low)),
    lowStops: stops(low),
    highStops: stops(high),
    basis: 'experience',
  };
}

/** Of a recording: by the frame that loses most, other than to the sun or a lamp. */
export function overexposureIn(
  frames: readonly FrameMeasure[],
  acceptedFraction: number,
): Measurement['overexposure'] {
  const worst = frames
    .filter(({ clippedShape, noScene }) => clippedShape === 'area' && noScene === undefined)
    .toSorted((a, b) => b.clippedFraction - a.clippedFraction)[0];
  return worst && overexposureOf(worst.clippedFraction, acceptedFraction, worst.nearlyClippedFraction);
}
