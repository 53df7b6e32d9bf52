import type { BlurPoint, MeasuredShutter } from '../domain/measuredShutter.ts';
import type { Facts } from '../domain/recording.ts';
import type { Frame, FrameGeometry } from './frames.ts';
import { estimateShutter } from './shutter/estimate.ts';
import type { FramePair, LumaPlane } from './shutter/framePair.ts';

/** Keeps pairs of consecutive frames for the shutter, which is judged from all of them together. */
export interface ShutterPairs {
  readonly first: (frame: Frame) => void;
  readonly second: (frame: Frame) => void;
  readonly result: () => MeasuredShutter;
}

const mostPairs = 6;
/** Pairs are held until the clip is read, and several clips are read at once. */
const mostBytes = 80_000_000;

export function planShutterPairs(
  facts: Facts,
  { width, height, bitDepth }: FrameGeometry,
  target: { readonly targetAngleDegrees: number; readonly toleranceStops: number },
): ShutterPairs {
  const pairBytes = 2 * width * height * (bitDepth > 8 ? 2 : 1);
  const room = Math.max(2, Math.min(mostPairs, Math.floor(mostBytes / pairBytes)));
  const transfer = facts.transfer?.value;
  const planeOf = ({ luma, atSeconds }: Frame): LumaPlane => ({
    width,
    height,
    bitDepth,
    range: facts.range?.value ?? 'narrow',
    ...(transfer === undefined ? {} : { transfer }),
    atSeconds,
    codes: luma.slice(),
  });
  const pairs: FramePair[] = [];
  let opened: LumaPlane | undefined;
  return {
    first: (frame) => {
      if (pairs.length < room) opened = planeOf(frame);
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
        ...(angleDegrees === undefined ? {} : { angleDegrees }),
        ...(interval === undefined ? {} : { interval }),
        ...(estimate.class === undefined ? {} : { class: estimate.class }),
        pairCount,
        tileCount,
        ...(medianMotionPixels === undefined ? {} : { medianMotionPixels }),
        ...(reason === undefined ? {} : { reason }),
        ...(verdict === 'cannot-tell' ? {} : { curve: thinned(estimate.evidence.points) }),
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
