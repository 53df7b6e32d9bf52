import { settingsStops } from '../domain/exposure.ts';
import type { FrameMeasure, Measurement } from '../domain/measurement.ts';
import type { TrackSample } from '../domain/recording.ts';
import type { Frame } from './decoding/frame.ts';
import type { Look, PictureReader, Run, Stretch } from './decoding/look.ts';

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

/** The frames, and with them those of a second look at where clipping begins and ends. */
export async function lookCloser(
  reader: Pick<PictureReader, 'look'>,
  frames: readonly FrameMeasure[],
  judge: { readonly flagFraction: number; readonly clippedFraction: (frame: Frame) => number },
): Promise<readonly ClippedAt[]> {
  const { flagFraction, clippedFraction } = judge;
  const look = async function* (request: Look): AsyncGenerator<ClippedAt & { readonly run?: Run }> {
    for await (const { frame, run } of reader.look(request))
      yield { atSeconds: frame.atSeconds, clippedFraction: clippedFraction(frame), run };
  };
  const edges = await refineEdges(edgesToRefine(frames, flagFraction), flagFraction, look);
  const closest = edges.flatMap(({ before, after }) => [before, after]);
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

/** Frames that are no farther apart than this are close enough for an editor to find the place. */
const closeSeconds = 0.5;
/** Two spans in full; of more, those that are the least exact. */
const mostEdges = 4;
/** Frames between two that are compared where an edge is read through. */
const readStepSeconds = 0.1;
/** Reading through decodes every frame, which costs as much as a key frame for every few of them. */
const mostReadSeconds = 2.1;
/** Of a wider gap the key frames at its quarters are looked at, and of what is left once more. */
const gapParts = 4;
const mostRounds = 2;

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

/** The frames on both sides of each edge, as close together as a bounded second look finds them. */
export async function refineEdges(
  edges: readonly Edge[],
  flagFraction: number,
  look: (request: Look) => AsyncGenerator<ClippedAt & { readonly run?: Run }>,
): Promise<readonly Edge[]> {
  let closer = edges;
  const take = (sample: ClippedAt): void => {
    closer = closer.map((edge) => narrowed(edge, sample, flagFraction));
  };
  for (let round = 0; round < mostRounds; round++) {
    const stretches = closer.filter((edge) => gapOf(edge) > mostReadSeconds).flatMap(quarters);
    if (stretches.length === 0) break;
    for await (const sample of look({ stretches })) take(sample);
  }
  const runs = closer.flatMap((edge, at): Run[] => {
    if (gapOf(edge) > mostReadSeconds || gapOf(edge) <= readStepSeconds) return [];
    const isEnough = (): boolean => closer[at]!.after !== edge.after;
    const startSeconds = edge.before.atSeconds + nextFrameSeconds;
    const endSeconds = edge.after.atSeconds;
    const mostFrames = Math.ceil(mostReadSeconds / readStepSeconds);
    return [{ startSeconds, endSeconds, everySeconds: readStepSeconds, mostFrames, isEnough }];
  });
  if (runs.length > 0) for await (const sample of look({ runs })) take(sample);
  return closer;
}

/** Half a frame or less. */
const nextFrameSeconds = 0.001;

/** Stretches around the quarters of a gap: the key frames in them are looked at. */
function quarters(edge: Edge): Stretch[] {
  const part = gapOf(edge) / gapParts;
  return Array.from({ length: gapParts - 1 }, (_, at) => {
    const middle = edge.before.atSeconds + (at + 1) * part;
    return { fromSeconds: middle - part / 2, toSeconds: middle + part / 2, keysOnly: true };
  });
}

function narrowed(edge: Edge, { atSeconds, clippedFraction }: ClippedAt, flagFraction: number): Edge {
  const { before, after } = edge;
  if (atSeconds <= before.atSeconds || atSeconds >= after.atSeconds) return edge;
  const isAsBefore = clippedFraction > flagFraction === before.clippedFraction > flagFraction;
  const sample = { atSeconds, clippedFraction };
  return isAsBefore ? { before: sample, after } : { before, after: sample };
}
