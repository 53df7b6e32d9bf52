import type { FindingWeight } from '../domain/findingWeight.ts';
import type { Limits } from '../domain/limits.ts';
import type { ClippedShape, FrameMeasure, Measurement } from '../domain/measurement.ts';

/** The frame that clips most among those where the clipped region is a disc, or is not one. */
export function worstClippedFrame(measurement: Measurement, shape: ClippedShape): FrameMeasure | undefined {
  const alike = measurement.frames.filter((frame) => (frame.clippedShape === 'disc') === (shape === 'disc'));
  return alike.reduce<FrameMeasure | undefined>(
    (worst, frame) => (worst && worst.clippedFraction >= frame.clippedFraction ? worst : frame),
    undefined,
  );
}

/** Five times the accepted area is no fleck any more but a part of the picture; common practice, no source. */
const highOverLimit = 5;

export function clippedWeight(fraction: number, { clippedFraction }: Limits): FindingWeight {
  return fraction > highOverLimit * clippedFraction ? 'high' : 'medium';
}

/** An interval that holds four times of five is this many standard deviations wide to either side (normal). */
const fourOfFive = 1.2816;

/**
 * What the highlights of a picture leave. A burnt sun is none of them, nor is what is smaller than accepted: where
 * only that is at the ceiling, the room that is left is not known.
 */
export function highlightRoom(measurement: Measurement | undefined, limits: Limits) {
  if (measurement === undefined) return undefined;
  const burntFraction = worstClippedFrame(measurement, 'area')?.clippedFraction ?? 0;
  const { overexposure, headroomStops } = measurement;
  if (burntFraction <= limits.clippedFraction)
    return headroomStops === undefined || headroomStops === 0 ? {} : { roomStops: headroomStops };
  if (overexposure === undefined) return { burntFraction };
  const { leastStops, lowStops, highStops } = overexposure;
  return {
    burntFraction,
    overStops: Math.max(leastStops, (lowStops + highStops) / 2),
    overSpreadStops: (highStops - lowStops) / (2 * fourOfFive),
  };
}
