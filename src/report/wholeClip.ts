/** Spans end at a frame that was looked at, so the whole clip may lack a little at its ends. */
const wholeClipShare = 0.9;

export interface StretchOfClip {
  readonly startSeconds: number;
  readonly endSeconds: number;
  /** Of the clip; undefined where it is not known. */
  readonly durationSeconds: number | undefined;
}

/**
 * Whether a stretch is as good as the whole clip.
 * @example fillsClip({ startSeconds: 0, endSeconds: 1.9, durationSeconds: 2 }) // true
 */
export function fillsClip({ startSeconds, endSeconds, durationSeconds }: StretchOfClip): boolean {
  return durationSeconds !== undefined && endSeconds - startSeconds >= wholeClipShare * durationSeconds;
}
