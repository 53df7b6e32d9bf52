import type { Program } from '../../programs/program.ts';
import type { OpenMedia } from '../../programs/openMedia.ts';
import type { FrameGeometry, FrameRequest } from './frame.ts';
import type { SamplingPlan } from './sampling.ts';

export interface DecodeSteps {
  readonly program: Program;
  readonly media: OpenMedia;
  readonly geometry: FrameGeometry;
  readonly plan: SamplingPlan;
  readonly framesPerSecond: number;
  readonly buffers: Map<number, ArrayBuffer>;
  /** Frames of a clip by its own index, where that is known. */
  readonly frameCount?: number;
  /** Pairs are wanted with every pixel, not just as motion needs them. */
  readonly wholePairs?: WholePairs;
  readonly signal?: AbortSignal;
}

interface WholePairs {
  /** Whether more of them are wanted. */
  readonly wanted: () => boolean;
}

export const seekWallMs = 60_000;
/** A slow machine decodes the heaviest pictures at two a second. */
const wallMsPerFrame = 500;
const wallMsOfUnknownLength = 1_800_000;
/** Rows that are enough for shares of a picture: of more, every second or fourth is looked at. */
const enoughRows = 540;

/** The largest step that leaves enough rows, and an even number of them for the chroma planes. */
export function rowStepFor({ geometry: { height } }: Pick<DecodeSteps, 'geometry'>): number {
  let step = 1;
  while (height / (2 * step) >= enoughRows && height % (4 * step) === 0) step *= 2;
  return step;
}

export function frameRequest(
  { program, media, geometry, buffers, signal }: Omit<DecodeSteps, 'plan'>,
  wallMs: number,
): FrameRequest {
  return { program, media, geometry, buffers, wallMs, signal };
}

/** Time enough to decode every frame of a clip. */
export function wallMsThrough({
  plan,
  framesPerSecond,
}: Pick<DecodeSteps, 'plan' | 'framesPerSecond'>): number {
  if (plan.steps === undefined) return wallMsOfUnknownLength;
  return seekWallMs + plan.steps * plan.stepSeconds * framesPerSecond * wallMsPerFrame;
}
