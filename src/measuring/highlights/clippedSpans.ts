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

/** What share of a picture clips, and when it is shown. */
export interface ClippedAt {
  readonly atSeconds: number;
  readonly clippedFraction: number;
}

/** Two looked-at frames between which clipping begins or ends. */
export interface Edge {
  readonly before: ClippedAt;
  readonly after: ClippedAt;
}

/** Gives a frame at or before a place: a key frame, which costs least. Undefined where there is none. */
type LookAtKey = (atSeconds: number) => Promise<ClippedAt | undefined>;
/** Gives the frames from a place on, until it is left. */
type ReadOn = (fromSeconds: number) => AsyncGenerator<ClippedAt>;

export interface CloserLook {
  readonly flagFraction: number;
  readonly lookAtKey: LookAtKey;
  readonly readOn: ReadOn;
}

/** Frames that are no farther apart than this are close enough for an editor to find the place. */
const closeSeconds = 0.5;
/** Two spans in full; of more, those that are the least exact. */
const mostEdges = 4;
const mostJumpsPerEdge = 3;
/** Reading on decodes every frame, which costs as much as a jump for every few of them. */
const mostReadSeconds = 2.1;

/** The places where clipping begins or ends, the least exact ones first. */
export function edgesToRefine(frames: readonly ClippedAt[], flagFraction: number): readonly Edge[] {
  return frames
    .slice(1)
    .map((after, i): Edge => ({ before: frames[i]!, after }))
    .filter((edge) => gapOf(edge) > closeSeconds && isFlagged(edge.before) !== isFlagged(edge.after))
    .sort((a, b) => gapOf(b) - gapOf(a))
    .slice(0, mostEdges);

  function isFlagged({ clippedFraction }: ClippedAt): boolean {
    return clippedFraction > flagFraction;
  }
}

function gapOf({ before, after }: Edge): number {
  return after.atSeconds - before.atSeconds;
}

/** The frames on both sides of an edge, as close together as a bounded second look finds them. */
export async function refineEdge(edge: Edge, look: CloserLook): Promise<Edge> {
  const starts = edge.before.clippedFraction > look.flagFraction;
  const narrowed = ({ before, after }: Edge, found: ClippedAt): Edge =>
    found.clippedFraction > look.flagFraction === starts
      ? { before: found, after }
      : { before, after: found };
  let closer = edge;
  for (let jump = 0; jump < mostJumpsPerEdge && gapOf(closer) > mostReadSeconds; jump++) {
    const found = await look.lookAtKey((closer.before.atSeconds + closer.after.atSeconds) / 2);
    // Key frames that are farther apart than that are no help.
    if (found === undefined || found.atSeconds <= closer.before.atSeconds) break;
    closer = narrowed(closer, found);
  }
  if (gapOf(closer) > mostReadSeconds) return closer;
  const { after } = closer;
  for await (const found of look.readOn(closer.before.atSeconds)) {
    if (found.atSeconds >= after.atSeconds) break;
    closer = narrowed(closer, found);
    if (closer.after === found) break;
  }
  return closer;
}
