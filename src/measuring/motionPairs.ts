import type { Frame, FrameGeometry } from './frames.ts';
import { planMotionMeter, summariseMotion } from './motion.ts';
import type { Shift } from './crossSpectrum.ts';

/** Collects motion from pairs of consecutive frames. */
export interface MotionPairs {
  readonly first: (frame: Frame) => void;
  /** The frame that follows on the one given to first(). */
  readonly second: (frame: Frame) => void;
  /** Median motion of each pair that moved or stood still, by the time of its first frame. */
  readonly overTime: () => ReadonlyMap<number, number>;
  readonly result: () => { readonly median: number; readonly high: number } | undefined;
}

interface Pair {
  readonly atSeconds: number;
  readonly shifts: readonly Shift[];
  readonly repeated: boolean;
}

/** `frameSeconds` is the time between consecutive frames; frames farther apart are not taken for a pair. */
export function planMotionPairs(
  { width, height, bitDepth }: FrameGeometry,
  frameSeconds: number,
): MotionPairs {
  const meter = planMotionMeter(width, height, bitDepth);
  const pairs: Pair[] = [];
  let kept: Uint8Array | Uint16Array | undefined;
  let keptAtSeconds: number | undefined;
  return {
    first: ({ luma, atSeconds }) => {
      kept ??= luma.slice();
      kept.set(luma);
      keptAtSeconds = atSeconds;
    },
    second: ({ luma, atSeconds }) => {
      if (kept === undefined || keptAtSeconds === undefined) return;
      const firstAtSeconds = keptAtSeconds;
      const gapSeconds = atSeconds - firstAtSeconds;
      keptAtSeconds = undefined;
      if (gapSeconds <= 0 || gapSeconds > 1.5 * frameSeconds) return;
      const codes = kept;
      const shifts = meter({ width, height, codes }, { width, height, codes: luma });
      pairs.push({ atSeconds: firstAtSeconds, shifts, repeated: luma.every((code, i) => code === codes[i]) });
    },
    overTime: () =>
      new Map(
        pairs.flatMap(({ atSeconds, shifts, repeated }) => {
          const motion = repeated ? undefined : summariseMotion(shifts);
          return motion === undefined ? [] : [[atSeconds, motion.median] as const];
        }),
      ),
    result: () => {
      // A frame shown twice amid motion says nothing of the motion; where all are the same, nothing moves.
      const moving = pairs.filter(({ repeated }) => !repeated);
      return summariseMotion((moving.length > 0 ? moving : pairs).flatMap(({ shifts }) => shifts));
    },
  };
}
