import { settingsStops } from '../domain/exposure.ts';
import type { FrameMeasure, Measurement } from '../domain/measurement.ts';
import type { Track, TrackSample } from '../domain/recording.ts';
import { decodeAt, type ClipDecoding } from './decoding/decodeFrames.ts';
import type { Frame } from './decoding/frame.ts';
import type { FrameMeter } from './frameMeter.ts';

/** Half a frame or less. */
const nextFrameSeconds = 0.01;

/** Looks at the moments that the track of a clip marks as its extremes, where nothing near them was looked at. */
export async function measureExtremes(
  decoding: ClipDecoding,
  track: Track | undefined,
  { meter, nearSeconds }: { readonly meter: FrameMeter; readonly nearSeconds: number },
): Promise<void> {
  for (const startSeconds of extremeSeconds(track?.samples ?? [])) {
    if (meter.looksNear(startSeconds, nearSeconds)) continue;
    const place = { startSeconds, maxFrames: 1, select: `gte(t,${-nextFrameSeconds})` };
    for await (const frame of decodeAt(decoding, place)) meter.measure(frame);
  }
}

/** Less than this between the extremes is the meter's own unrest: cameras step in thirds of a stop. */
const leastSpreadStops = 0.3;

/**
 * When the recorded exposure of a clip was at its extremes: where the meter read highest and lowest, or, without a
 * meter, where the settings let in most light and least. Earliest first; none where it hardly changes.
 * @example extremeSeconds([{ startSeconds: 0, endSeconds: 2, iso: 100 }, { startSeconds: 2, endSeconds: 4, iso: 400 }]) // [1, 3]
 */
export function extremeSeconds(samples: readonly TrackSample[]): readonly number[] {
  const isMetered = samples.some(({ meteredOffsetStops }) => meteredOffsetStops !== undefined);
  const exposures = samples.flatMap((sample) => {
    const stops = isMetered ? sample.meteredOffsetStops : lightOf(sample);
    return stops === undefined ? [] : [{ stops, atSeconds: (sample.startSeconds + sample.endSeconds) / 2 }];
  });
  const lowest = exposures.toSorted((a, b) => a.stops - b.stops)[0];
  const highest = exposures.toSorted((a, b) => b.stops - a.stops)[0];
  if (lowest === undefined || highest === undefined) return [];
  if (highest.stops - lowest.stops < leastSpreadStops) return [];
  return [lowest.atSeconds, highest.atSeconds].sort((a, b) => a - b);
}

function lightOf(sample: TrackSample): number | undefined {
  return (sample.exposureSeconds ?? sample.iso ?? sample.fNumber) && settingsStops(sample);
}

/** Frames between two that are compared where an edge is read through. */
const readStepSeconds = 0.1;
const mostRead = 24;

/** The frames, and with them those of a second look at where clipping begins and ends. */
export async function lookCloser(
  decoding: ClipDecoding,
  frames: readonly FrameMeasure[],
  judge: { readonly flagFraction: number; readonly clippedFraction: (frame: Frame) => number },
): Promise<readonly ClippedAt[]> {
  const { flagFraction, clippedFraction } = judge;
  const clippedAt = (frame: Frame): ClippedAt => ({
    atSeconds: frame.atSeconds,
    clippedFraction: clippedFraction(frame),
  });
  const look: CloserLook = {
    flagFraction,
    lookAtKey: async (startSeconds) => {
      for await (const frame of decodeAt(decoding, { startSeconds, maxFrames: 1 })) return clippedAt(frame);
      return undefined;
    },
    readOn: async function* (startSeconds) {
      const select = `gt(t,0.001)*(isnan(prev_selected_t)+gte(t-prev_selected_t,${readStepSeconds - 0.001}))`;
      for await (const frame of decodeAt(decoding, { startSeconds, maxFrames: mostRead, select }))
        yield clippedAt(frame);
    },
  };
  const closest: ClippedAt[] = [];
  for (const edge of edgesToRefine(frames, flagFraction)) {
    const { before, after } = await refineEdge(edge, look);
    closest.push(before, after);
  }
  // What was looked at twice counts once; the first look says how much clips at most.
  const most = frames.reduce((max, frame) => Math.max(max, frame.clippedFraction), 0);
  const extra = closest
    .filter(({ atSeconds }) => !frames.some((frame) => frame.atSeconds === atSeconds))
    .map((sample) => ({ ...sample, clippedFraction: Math.min(most, sample.clippedFraction) }));
  return [...frames, ...extra].sort((a, b) => a.atSeconds - b.atSeconds);
}

/**
 * The stretches in which looked-at frames clip more than `flagFraction`. The edge lies halfway between the last frame
 * without and the first with, and how far off it may be is said; frames at either end of what was looked at carry it
 * to the end of the clip.
 */
export function clippedSpans(
  frames: readonly ClippedAt[],
  flagFraction: number,
  endSeconds: number,
): Measurement['clippedSpans'] {
  const spans: Measurement['clippedSpans'][number][] = [];
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

type ClippedAt = Pick<FrameMeasure, 'atSeconds' | 'clippedFraction'>;

/** Two looked-at frames between which clipping begins or ends. */
interface Edge {
  readonly before: ClippedAt;
  readonly after: ClippedAt;
}

interface CloserLook {
  readonly flagFraction: number;
  /** Gives a frame at or before a place: a key frame, which costs least. Undefined where there is none. */
  readonly lookAtKey: (atSeconds: number) => Promise<ClippedAt | undefined>;
  /** Gives the frames from a place on, until it is left. */
  readonly readOn: (fromSeconds: number) => AsyncGenerator<ClippedAt>;
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
  const isFlagged = ({ clippedFraction }: ClippedAt): boolean => clippedFraction > flagFraction;
  return frames
    .slice(1)
    .map((after, i): Edge => ({ before: frames[i]!, after }))
    .filter((edge) => gapOf(edge) > closeSeconds && isFlagged(edge.before) !== isFlagged(edge.after))
    .sort((a, b) => gapOf(b) - gapOf(a))
    .slice(0, mostEdges);
}

function gapOf({ before, after }: Edge): number {
  return after.atSeconds - before.atSeconds;
}

/** The frames on both sides of an edge, as close together as a bounded second look finds them. */
export async function refineEdge(edge: Edge, look: CloserLook): Promise<Edge> {
  const starts = edge.before.clippedFraction > look.flagFraction;
  const narrowed = ({ before, after }: Edge, frame: ClippedAt): Edge =>
    frame.clippedFraction > look.flagFraction === starts
      ? { before: frame, after }
      : { before, after: frame };
  let closer = edge;
  for (let jump = 0; jump < mostJumpsPerEdge && gapOf(closer) > mostReadSeconds; jump++) {
    const frame = await look.lookAtKey((closer.before.atSeconds + closer.after.atSeconds) / 2);
    // Key frames that are farther apart than that are no help.
    if (frame === undefined || frame.atSeconds <= closer.before.atSeconds) break;
    closer = narrowed(closer, frame);
  }
  if (gapOf(closer) > mostReadSeconds) return closer;
  const { after } = closer;
  for await (const frame of look.readOn(closer.before.atSeconds)) {
    if (frame.atSeconds >= after.atSeconds) break;
    closer = narrowed(closer, frame);
    if (closer.after === frame) break;
  }
  return closer;
}
