import type { ClippedShape, FrameMeasure, Measurement } from '../domain/measurement.ts';

/** The frame that clips most among those where the clipped region is a disc, or is not one. */
export function worstClippedFrame(measurement: Measurement, shape: ClippedShape): FrameMeasure | undefined {
  const alike = measurement.frames.filter((frame) => (frame.clippedShape === 'disc') === (shape === 'disc'));
  return alike.reduce<FrameMeasure | undefined>(
    (worst, frame) => (worst && worst.clippedFraction >= frame.clippedFraction ? worst : frame),
    undefined,
  );
}
