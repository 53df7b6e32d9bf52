import type { FindingWeight } from '../domain/finding.ts';
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

/** How much a burnt part weighs that is larger than accepted. */
export function clippedWeight(fraction: number, { clippedFraction }: Limits): FindingWeight {
  return fraction > highOverLimit * clippedFraction ? 'high' : 'medium';
}
