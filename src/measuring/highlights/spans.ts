import type { ClippedSpan, FrameMeasure } from '../../domain/measurement.ts';

/**
 * The stretches in which looked-at frames clip more than `flagFraction`. The edge lies halfway between the last frame
 * without and the first with, and how far off it may be is said; frames at either end of what was looked at carry it
 * to the end of the clip.
 */
export function clippedSpans(
  frames: readonly Pick<FrameMeasure, 'atSeconds' | 'clippedFraction'>[],
  flagFraction: number,
  endSeconds: number,
): readonly ClippedSpan[] {
  const spans: ClippedSpan[] = [];
  let startSeconds: number | undefined;
  let startToleranceSeconds = 0;
  let maxFraction = 0;
  frames.forEach(({ atSeconds, clippedFraction }, i) => {
    if (clippedFraction > flagFraction) {
      if (startSeconds === undefined) {
        const before = frames[i - 1];
        startSeconds = before === undefined ? 0 : (before.atSeconds + atSeconds) / 2;
        startToleranceSeconds = before === undefined ? 0 : (atSeconds - before.atSeconds) / 2;
      }
      maxFraction = Math.max(maxFraction, clippedFraction);
    }
    const next = frames[i + 1];
    if (startSeconds === undefined || (next && next.clippedFraction > flagFraction)) return;
    spans.push({
      startSeconds,
      endSeconds: next === undefined ? Math.max(endSeconds, atSeconds) : (atSeconds + next.atSeconds) / 2,
      maxFraction,
      startToleranceSeconds,
      endToleranceSeconds: next === undefined ? 0 : (next.atSeconds - atSeconds) / 2,
    });
    startSeconds = undefined;
    maxFraction = 0;
  });
  return spans;
}
