import type { ReportedRecording } from '../document/reportedRecording.ts';
import { formatDuration, formatSpan } from '../domain/format.ts';
import { frameIndexAt } from '../domain/frameRate.ts';
import { clipTime, clipTimecode } from './marks.ts';

/** A moment of a clip: by the timecode that it carries, else in seconds from its start. */
export function placeText(recording: ReportedRecording, seconds: number): string {
  return timecodeAt(recording, seconds) ?? formatDuration(seconds);
}

/** Where a stretch of a clip begins and ends, in the same notation. */
export function spanText(
  recording: ReportedRecording,
  span: { readonly startSeconds: number; readonly endSeconds: number },
): string {
  const ends = [span.startSeconds, span.endSeconds].map((seconds) => timecodeAt(recording, seconds));
  return ends.includes(undefined) ? formatSpan(span) : ends.join(' to ');
}

/** Undefined where the clip carries none: then frames counted from 0 would look like one that it does. */
function timecodeAt(recording: ReportedRecording, seconds: number): string | undefined {
  const time = recording.facts.startTimecode === undefined ? undefined : clipTime(recording);
  if (time === undefined) return undefined;
  const frame = Math.min(frameIndexAt({ seconds, frameRate: time.frameRate }), time.frameCount);
  return clipTimecode(frame, time) || undefined;
}
