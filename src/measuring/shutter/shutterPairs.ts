import type { BlurPoint, MeasuredShutter } from '../../domain/measuredShutter.ts';
import type { Facts } from '../../domain/recording.ts';
import type { Frame, FrameGeometry } from '../decoding/frame.ts';
import { estimateShutter } from './estimate.ts';
import type { FramePair, LumaPlane } from './framePair.ts';

/** Keeps pairs of consecutive frames for the shutter, which is judged from all of them together. */
export interface ShutterPairs {
  /** Whether first() will keep the frame that it is given next. */
  readonly wanted: () => boolean;
  readonly first: (frame: Frame) => void;
  readonly second: (frame: Frame) => void;
  readonly result: () => MeasuredShutter;
}

const mostPairs = 6;
/** Three pairs of 4K. More of smaller pictures. */
const mostBytes = 50_000_000;

export interface ShutterPlan {
  readonly target: { readonly targetAngleDegrees: number; readonly toleranceStops: number };
  /** How many pairs will come; undefined where nobody knows. */
  readonly pairCount: number | undefined;
}

/** Which of the pairs to keep: so many, over the whole clip. Of an unknown number the first. */
function spreadOver(pairCount: number | undefined, room: number): ReadonlySet<number> {
  const step = pairCount === undefined || pairCount <= room ? 1 : (pairCount - 1) / (room - 1);
  return new Set(Array.from({ length: room }, (_, i) => Math.round(i * step)));
}

export function planShutterPairs(
  facts: Facts,
  { width, height, bitDepth }: FrameGeometry,
  { target, pairCount }: ShutterPlan,
): ShutterPairs {
  const pairBytes = 2 * width * height * (bitDepth > 8 ? 2 : 1);
  const room = Math.max(2, Math.min(mostPairs, Math.floor(mostBytes / pairBytes)));
  const kept = spreadOver(pairCount, room);
  const transfer = facts.transfer?.value;
  const planeOf = (frame: Frame): LumaPlane => ({
    width,
    height,
    bitDepth,
    range: facts.range?.value ?? 'narrow',
    transfer,
    atSeconds: frame.atSeconds,
    codes: frame.luma.slice(),
  });
  const pairs: FramePair[] = [];
  let offered = 0;
  let opened: LumaPlane | undefined;
  return {
    wanted: () => kept.has(offered),
    first: (frame) => {
      // One whose second frame never came must not meet a frame of another pair.
      opened = kept.has(offered) ? planeOf(frame) : undefined;
      offered++;
    },
    second: (frame) => {
      if (opened !== undefined) pairs.push({ first: opened, second: planeOf(frame) });
      opened = undefined;
    },
    result: () => {
      const estimate = estimateShutter(pairs, target);
      const { verdict, angleDegrees, interval, pairCount, tileCount, medianMotionPixels, reason } = estimate;
      return {
        verdict,
        angleDegrees,
        interval,
        class: estimate.class,
        pairCount,
        tileCount,
        medianMotionPixels,
        reason,
        curve: verdict === 'cannot-tell' ? undefined : thinned(estimate.evidence.points),
      };
    },
  };
}

const mostPoints = 60;

function thinned(points: readonly BlurPoint[]): readonly BlurPoint[] {
  const step = Math.max(1, Math.ceil(points.length / mostPoints));
  return points
    .filter((_, i) => i % step === 0)
    .map(({ cyclesPerFrame, attenuation, fitted }) => ({ cyclesPerFrame, attenuation, fitted }));
}
