import { frameIndexAt, frameRateFromNumber, framesPerSecond, type FrameRate } from '../domain/frameRate.ts';
import type { ReportedRecording } from '../document/reportedRecording.ts';
import { frameOfTimecode, timecodeOfFrame } from '../domain/timecode.ts';
import type { Mark } from './marks.ts';

/** How the frames of a clip are counted: what an editing program needs to find a place in it. */
export interface ClipTime {
  readonly frameRate: FrameRate;
  readonly frameCount: number;
  /** Frame number of the first frame on the day's clock; 0 where no start timecode was recorded. */
  readonly startFrame: number;
  readonly dropFrame: boolean;
}

/** Undefined where length or rate is unknown: then no place in the clip can be counted. */
export function clipTime({ kind, facts }: ReportedRecording): ClipTime | undefined {
  // Times in a file go by the rate at which it plays, whatever it was captured at.
  const rate = facts.playbackFramesPerSecond?.value ?? facts.framesPerSecond?.value;
  const frameRate = rate === undefined ? undefined : frameRateFromNumber(rate);
  const duration = facts.durationSeconds?.value;
  if (kind !== 'clip' || frameRate === undefined || duration === undefined) return undefined;
  const frameCount = Math.max(1, Math.round(duration * framesPerSecond(frameRate)));
  const timecode = facts.startTimecode?.value;
  const startFrame = timecode === undefined ? undefined : frameOfTimecode({ timecode, frameRate });
  return {
    frameRate,
    frameCount,
    startFrame: startFrame ?? 0,
    dropFrame: startFrame !== undefined && timecode!.includes(';'),
  };
}

/** Frames of a mark, counted from the first frame of the clip: the first one and how many. At least one. */
export interface MarkFrames {
  readonly firstFrame: number;
  readonly frameCount: number;
}

export function markFrames({ startSeconds, endSeconds }: Mark, time: ClipTime): MarkFrames {
  const firstFrame = Math.min(
    frameIndexAt({ seconds: startSeconds, frameRate: time.frameRate }),
    time.frameCount - 1,
  );
  const end = Math.min(frameIndexAt({ seconds: endSeconds, frameRate: time.frameRate }), time.frameCount);
  return { firstFrame, frameCount: Math.max(1, end - firstFrame) };
}

/**
 * Timecode label of a frame of the clip. Wraps at 24 hours like the clock it was read from.
 * @param frame counted from the first frame of the clip
 */
export function clipTimecode(frame: number, { startFrame, frameRate, dropFrame }: ClipTime): string {
  // Drop-frame is only ever set where a label of it was read at this rate.
  return timecodeOfFrame({ frameIndex: startFrame + frame, frameRate, dropFrame }) ?? '';
}
