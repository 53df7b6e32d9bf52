import type { MotionSummary } from '../../domain/measurement.ts';
import type { Frame, FrameGeometry } from '../decoding/frame.ts';
import { halveToCodes, shrinkLuma, type Luma } from '../luma.ts';
import {
  motionFactor,
  planMotionMeter,
  summariseMotion,
  summariseShifts,
  type TileShifts,
} from './motion.ts';

/** Collects motion from pairs of consecutive frames. */
export interface MotionPairs {
  readonly first: (frame: Frame) => void;
  /** The frame that follows on the one given to first(). */
  readonly second: (frame: Frame) => void;
  /** Median motion of each pair that moved or stood still, by the time of its first frame. */
  readonly overTime: () => ReadonlyMap<number, number>;
  readonly result: () => MotionFound | undefined;
}

interface MotionFound {
  readonly motionPixelsPerFrame: { readonly median: number; readonly high: number };
  readonly motion: MotionSummary;
}

interface Pair extends TileShifts {
  readonly atSeconds: number;
  readonly repeated: boolean;
}

/** `framesPerSecond`: frames farther apart than its consecutive ones are not taken for a pair. */
export function planMotionPairs(
  geometry: FrameGeometry,
  timing: { readonly framesPerSecond: number; readonly rotationDegrees: number },
): MotionPairs {
  const { width, height, bitDepth } = geometry;
  const meter = planMotionMeter(width, height, bitDepth);
  const keep = [planKeeper(width), planKeeper(width)] as const;
  const pairs: Pair[] = [];
  let kept: { readonly luma: Luma; readonly atSeconds: number } | undefined;
  return {
    first: (frame) => {
      kept = { luma: keep[0](frame), atSeconds: frame.atSeconds };
    },
    second: (frame) => {
      if (kept === undefined) return;
      const { luma: first, atSeconds } = kept;
      const gapFrames = (frame.atSeconds - atSeconds) * timing.framesPerSecond;
      kept = undefined;
      if (gapFrames <= 0 || gapFrames > 1.5) return;
      const second = keep[1](frame);
      const repeated = second.codes.every((code, i) => code === first.codes[i]);
      pairs.push({ ...meter(first, second), atSeconds, repeated });
    },
    overTime: () =>
      new Map(
        pairs.flatMap(({ atSeconds, shifts, repeated }) => {
          const motion = repeated ? undefined : summariseShifts(shifts);
          return motion === undefined ? [] : [[atSeconds, motion.median] as const];
        }),
      ),
    result: () => {
      // A frame shown twice amid motion says nothing of the motion; where all are the same, nothing moves.
      const moving = pairs.filter(({ repeated }) => !repeated);
      const counted = moving.length > 0 ? moving : pairs;
      const pixels = summariseShifts(counted.flatMap(({ shifts }) => shifts));
      const motion = summariseMotion(counted, { ...geometry, ...timing });
      return pixels && motion && { motionPixelsPerFrame: pixels, motion };
    },
  };
}

/** Copies a picture at the size that motion is looked for in, into an array that is used again and again. */
function planKeeper(width: number): (frame: Frame) => Luma {
  const factor = motionFactor(width);
  let codes: Uint8Array | Uint16Array | undefined;
  let halved: Uint8Array | Uint16Array | undefined;
  return ({ width: columns, height, luma, lumaShrunkBy }) => {
    const picture = { width: columns, height, codes: luma };
    if (factor > 1 && lumaShrunkBy !== factor) {
      const half = halveToCodes(picture, halved);
      halved = half.codes;
      return shrinkLuma(half, factor / 2);
    }
    codes ??= luma.slice();
    codes.set(luma);
    return { ...picture, codes };
  };
}
