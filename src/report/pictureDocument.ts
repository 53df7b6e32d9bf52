import type { FrameMeasure, Measurement } from '../domain/measurement.ts';
import type { RecordingKind } from '../domain/recording.ts';
import type { ReportedFrame, ReportedPicture } from '../domain/reportedRecording.ts';

/** Of one clip; a document of many has room for fewer (`timelineLength`). */
const mostFrames = 200;

/**
 * All that was measured but how decoding ended, which is a finding, and the shutter, which is judged on its own. Of a
 * clip it keeps no more frames than its time line may be long.
 */
export function reportedPicture(
  measurement: Measurement,
  kind: RecordingKind,
  longestTimeline: number,
): ReportedPicture {
  const { frames, endedEarly: _, shutter: __, ...picture } = measurement;
  return {
    ...picture,
    ...(kind === 'clip' && { frames: reportedFrames(frames, Math.min(mostFrames, longestTimeline)) }),
  };
}

/** Of each stretch the frame that clips most: thinning must not hide the worst. */
function reportedFrames(frames: readonly FrameMeasure[], most: number): readonly ReportedFrame[] {
  const step = Math.ceil(frames.length / most);
  const worstOf = (stretch: readonly FrameMeasure[]) =>
    stretch.reduce((worst, frame) => (frame.clippedFraction > worst.clippedFraction ? frame : worst));
  return Array.from({ length: Math.ceil(frames.length / step) || 0 }, (_, at) => {
    const { atSeconds, clippedFraction, levelStops, motionPixelsPerFrame } = worstOf(
      frames.slice(at * step, (at + 1) * step),
    );
    return {
      atSeconds,
      clippedFraction,
      levelStops,
      motionPixelsPerFrame,
    };
  });
}
