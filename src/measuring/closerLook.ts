import { settingsStops } from '../domain/exposure.ts';
import type { FrameMeasure } from '../domain/measurement.ts';
import type { Track, TrackSample } from '../domain/recording.ts';
import { decodeAt, type ClipDecoding } from './decoding/clipDecoding.ts';
import type { FrameMeter } from './frameMeter.ts';
import type { Frame } from './decoding/frame.ts';
import { edgesToRefine, refineEdge, type ClippedAt, type CloserLook } from './highlights/clippedSpans.ts';

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
  const known = samples.flatMap((sample) => {
    const stops = isMetered ? sample.meteredOffsetStops : lightOf(sample);
    return stops === undefined ? [] : [{ stops, atSeconds: (sample.startSeconds + sample.endSeconds) / 2 }];
  });
  const first = known[0];
  if (first === undefined) return [];
  const lowest = known.reduce((least, one) => (one.stops < least.stops ? one : least), first);
  const highest = known.reduce((most, one) => (one.stops > most.stops ? one : most), first);
  if (highest.stops - lowest.stops < leastSpreadStops) return [];
  return [lowest.atSeconds, highest.atSeconds].sort((a, b) => a - b);
}

function lightOf(sample: TrackSample): number | undefined {
  const { exposureSeconds, iso, fNumber } = sample;
  const isKnown = exposureSeconds !== undefined || iso !== undefined || fNumber !== undefined;
  return isKnown ? settingsStops(sample) : undefined;
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
  const clippedAt = (frame: Frame): ClippedAt => ({
    atSeconds: frame.atSeconds,
    clippedFraction: judge.clippedFraction(frame),
  });
  const look: CloserLook = {
    flagFraction: judge.flagFraction,
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
  const found: ClippedAt[] = [];
  for (const edge of edgesToRefine(frames, judge.flagFraction)) {
    const { before, after } = await refineEdge(edge, look);
    found.push(before, after);
  }
  // What was looked at twice counts once; the first look says how much clips at most.
  const most = frames.reduce((max, { clippedFraction }) => Math.max(max, clippedFraction), 0);
  const extra = found
    .filter(({ atSeconds }) => !frames.some((frame) => frame.atSeconds === atSeconds))
    .map((one) => ({ ...one, clippedFraction: Math.min(most, one.clippedFraction) }));
  return [...frames, ...extra].sort((a, b) => a.atSeconds - b.atSeconds);
}
