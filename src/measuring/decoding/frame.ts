import type { Program } from '../../programs/run.ts';
import type { OpenMedia } from '../../programs/openMedia.ts';

/** Size and depth of the pictures as they are stored, before any rotation. */
export interface FrameGeometry {
  readonly width: number;
  readonly height: number;
  /** Bits of a code: 8 to 16. */
  readonly bitDepth: number;
}

/**
 * One picture as it was coded: 4:2:0 planes, row by row. The arrays are overwritten when the next frame is asked for.
 */
export interface Frame extends FrameGeometry {
  /** Presentation time, from the first frame of the clip. */
  readonly atSeconds: number;
  /** Where it is not 1, `height` counts the rows that are there, and each stands for so many of the picture. */
  readonly rowStep?: number;
  /** Set where only luma is there, each code the mean of a block with sides of so many pixels. */
  readonly lumaShrunkBy?: number;
  readonly luma: Uint8Array | Uint16Array;
  /** Chroma planes are half as wide and half as high as luma, rounded up. */
  readonly cb: Uint8Array | Uint16Array;
  readonly cr: Uint8Array | Uint16Array;
}

export interface FrameRequest {
  readonly program: Program;
  readonly media: OpenMedia;
  readonly geometry: FrameGeometry;
  /** Where to begin; frames from the key frame before it come too, with times below `startSeconds`. */
  readonly startSeconds?: number;
  /** ffmpeg `select` expression over `t`, which counts from `startSeconds`, and over `pts` of what is fed. */
  readonly select?: string;
  readonly maxFrames?: number;
  /** Give only every so many rows, a power of two that leaves an even number of rows. */
  readonly rowStep?: number;
  /** Give some frames once more, every row of them, as luma. */
  readonly pairs?: PairRequest;
  /** Pictures are handed to ffmpeg one by one, and it opens no file. */
  readonly fed?: FedPictures;
  /** Key frames and nothing else. */
  readonly keyFramesOnly?: boolean;
  /** Leave out ffmpeg's own look through the file. Halves the cost of a seek; not every container allows it. */
  readonly unprobed?: boolean;
  readonly wallMs: number;
  readonly signal?: AbortSignal;
}

interface PairRequest {
  /** Each code is the mean of a block with sides of so many pixels. */
  readonly shrunkBy: number;
  readonly select?: string;
  readonly maxFrames?: number;
}

interface FedPictures {
  /** A movie in fragments, piece by piece. */
  readonly input: AsyncIterable<Buffer>;
  /** When the picture with this time in the fragments is shown; undefined of one that was not fed. */
  readonly secondsOf: (ticks: number) => number | undefined;
}

export type FrameShape = Omit<Frame, 'luma' | 'cb' | 'cr' | 'atSeconds'>;

/** The shape of frames, or with `lumaShrunkBy` of those that come as luma. */
export function frameShape(
  geometry: FrameGeometry,
  { rowStep = 1, lumaShrunkBy }: Pick<Frame, 'rowStep' | 'lumaShrunkBy'>,
): FrameShape {
  if (lumaShrunkBy === undefined) return { ...geometry, height: geometry.height / rowStep, rowStep };
  const shrunk = (side: number): number => Math.floor(side / lumaShrunkBy);
  return { ...geometry, width: shrunk(geometry.width), height: shrunk(geometry.height), lumaShrunkBy };
}
