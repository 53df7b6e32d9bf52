import type { ClipPlan } from './plan.ts';
import { rational, toNumber } from './rational.ts';

/** The exposure of every frame as the camera recorded it: the text and the seconds that it means. */
export interface FrameExposure {
  readonly text: string;
  readonly seconds: number;
}

export function frameCount(plan: ClipPlan): number {
  return Math.round(plan.seconds * toNumber(rational(plan.rate)));
}

/** A drifting exposure is rounded to a tenth of its denominator first, so that text and picture agree exactly. */
export function frameExposures(plan: ClipPlan): readonly FrameExposure[] {
  const frames = frameCount(plan);
  const first = toNumber(rational(plan.exposure));
  if (plan.exposureAtEnd === undefined)
    return Array<FrameExposure>(frames).fill({ text: plan.exposure, seconds: first });
  const ratio = toNumber(rational(plan.exposureAtEnd)) / first;
  return Array.from({ length: frames }, (_, frame) => {
    const denominator = (1 / (first * ratio ** (frame / (frames - 1)))).toFixed(1);
    return { text: `1/${denominator}`, seconds: 1 / Number(denominator) };
  });
}

/** The shutter cannot stay open for longer than the frame, whatever was recorded. */
export function openShare(plan: ClipPlan, exposureSeconds: number): number {
  return Math.min(1, exposureSeconds * toNumber(rational(plan.rate)));
}
