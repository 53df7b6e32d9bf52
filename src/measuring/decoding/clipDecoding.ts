import type { Program } from '../../programs/program.ts';
import type { OpenMedia } from '../../programs/openMedia.ts';
import { decodeFrames, type FramesEnd } from './decodeFrames.ts';
import type { Frame, FrameGeometry, FrameRequest } from './frame.ts';
import type { SamplingPlan } from './sampling.ts';

/** A clip that is open for decoding. */
export interface ClipDecoding {
  readonly program: Program;
  readonly media: OpenMedia;
  readonly geometry: FrameGeometry;
  readonly framesPerSecond: number;
  /** Frames of a clip by its own index, where that is known. */
  readonly frameCount?: number;
  readonly signal?: AbortSignal;
}

export interface StepsRequest extends ClipDecoding {
  readonly plan: SamplingPlan;
  /** Whether the next pair is wanted with every pixel, not just as motion needs it. */
  readonly wantsEveryPixel?: () => boolean;
}

export const seekWallMs = 60_000;
/** Rows that are enough for shares of a picture: of more, every second or fourth is looked at. */
const enoughRows = 540;

/** The largest step that leaves enough rows, and an even number of them for the chroma planes. */
export function rowStepFor({ geometry: { height } }: ClipDecoding): number {
  let step = 1;
  while (height / (2 * step) >= enoughRows && height % (4 * step) === 0) step *= 2;
  return step;
}

export function frameRequest(
  { program, media, geometry, signal }: ClipDecoding,
  wallMs: number,
): FrameRequest {
  return { program, media, geometry, wallMs, signal };
}

/** One frame at or before a place, and those that follow it up to `maxFrames`. For looking again where it matters. */
export async function* decodeAt(
  clip: ClipDecoding,
  place: { readonly startSeconds: number; readonly maxFrames: number; readonly select?: string },
): AsyncGenerator<Frame, FramesEnd> {
  const frames = { ...frameRequest(clip, seekWallMs), ...place, rowStep: rowStepFor(clip) };
  const end = yield* decodeFrames({ ...frames, unprobed: true });
  return end.framesDecoded > 0 ? end : yield* decodeFrames(frames);
}
