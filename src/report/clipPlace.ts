import type { ReportedRecording } from '../document/reportedRecording.ts';
import { formatDuration, formatSpan } from '../domain/format.ts';
import { frameIndexAt } from '../domain/frameRate.ts';
import { clipTime, clipTimecode, type Mark } from './marks.ts';

interface Span {
  readonly startSeconds: number;
  readonly endSeconds: number;
}

/** A moment of a clip: by the timecode that it carries, else in seconds from its start. */
export function placeText(recording: ReportedRecording, seconds: number): string {
  return timecodeAt(recording, seconds) ?? formatDuration(seconds);
}

/** Where a stretch of a clip begins and ends, in the same notation. */
export function spanText(recording: ReportedRecording, span: Span): string {
  const ends = [span.startSeconds, span.endSeconds].map((seconds) => timecodeAt(recording, seconds));
  return ends.includes(undefined) ? formatSpan(span) : ends.join(' to ');
}

/** A stretch of a finding as it is marked, which is by its tolerance longer. */
export function markedSpan(span: Span, marks: readonly Mark[]): Span {
  const covering = marks.filter(
    ({ kind, startSeconds, endSeconds }) =>
      kind !== 'usable' && startSeconds <= span.startSeconds && endSeconds >= span.endSeconds,
  );
  const length = ({ startSeconds, endSeconds }: Span) => endSeconds - startSeconds;
  return covering.toSorted((a, b) => length(a) - length(b))[0] ?? span;
}

/** A sentence about a clip whose stretches are told in seconds: as they are marked, in the notation of the clip. */
export function inClip(text: string, recording: ReportedRecording, marks: readonly Mark[]): string {
  const ofFindings = recording.findings.flatMap(({ startSeconds, endSeconds }) =>
    startSeconds === undefined || endSeconds === undefined ? [] : [{ startSeconds, endSeconds }],
  );
  return [...ofFindings, ...marks].reduce((said, span) => {
    const inSeconds = `${formatDuration(span.startSeconds)} to ${formatDuration(span.endSeconds)}`;
    const place = spanText(recording, markedSpan(span, marks));
    return said.replaceAll(inSeconds, place).replaceAll(formatSpan(span), place);
  }, text);
}

/** Undefined where the clip carries none: then frames counted from 0 would look like one that it does. */
function timecodeAt(recording: ReportedRecording, seconds: number): string | undefined {
  const time = recording.facts.startTimecode === undefined ? undefined : clipTime(recording);
  if (time === undefined) return undefined;
  const frame = Math.min(frameIndexAt({ seconds, frameRate: time.frameRate }), time.frameCount);
  return clipTimecode(frame, time) || undefined;
}
