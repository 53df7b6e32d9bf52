import type { EndedEarly } from './endedEarly.ts';
import type { Frame } from './frame.ts';
import type { FramesEnd } from './frames.ts';

/** A frame, and what it was decoded for. */
export interface SteppedFrame {
  readonly frame: Frame;
  /** False for a frame that came only for the motion from the one before. */
  readonly isSample: boolean;
  readonly opensPair: boolean;
  readonly closesPair: boolean;
}

export type Steps = AsyncGenerator<SteppedFrame, EndedEarly>;

/** Says of each frame what it is for. `index` counts from 0. */
export async function* annotate(
  frames: AsyncGenerator<Frame, FramesEnd>,
  describe: (frame: Frame, index: number) => SteppedFrame,
): AsyncGenerator<SteppedFrame, FramesEnd> {
  try {
    for (let index = 0; ; index++) {
      const next = await frames.next();
      if (next.done === true) return next.value;
      yield describe(next.value, index);
    }
  } finally {
    // A consumer that stops early must end ffmpeg too; after its own end this does nothing.
    await frames.return(undefined as never);
  }
}
