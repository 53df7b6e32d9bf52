import type { ClippedSpan, FrameMeasure } from '../domain/measurement.ts';

/**
 * The stretches in which looked-at frames clip more than `flagFraction`. The edge lies halfway between the last frame
 * without and the first with, so it is off by no more than one sampling step; frames at either end of what was looked
 * at carry it to the end of the clip.
 */
export function clippedSpans(
  frames: readonly FrameMeasure[],
  flagFraction: number,
  endSeconds: number,
): readonly ClippedSpan[] {
  const spans: ClippedSpan[] = [];
  let startSeconds: number | undefined;
  let maxFraction = 0;
  frames.forEach(({ atSeconds, clippedFraction }, i) => {
    if (clippedFraction > flagFraction) {
      startSeconds ??= i === 0 ? 0 : (frames[i - 1]!.atSeconds + atSeconds) / 2;
      maxFraction = Math.max(maxFraction, clippedFraction);
    }
    const next = frames[i + 1];
    if (startSeconds === undefined || (next && next.clippedFraction > flagFraction)) return;
    const end = next === undefined ? Math.max(endSeconds, atSeconds) : (atSeconds + next.atSeconds) / 2;
    spans.push({ startSeconds, endSeconds: end, maxFraction });
    startSeconds = undefined;
    maxFraction = 0;
  });
  return spans;
}
