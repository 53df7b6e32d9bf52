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
