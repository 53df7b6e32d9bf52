import { blurPixels } from '../domain/shutter.ts';

/**
 * Below this motion (pixels per frame) no shutter can be told from another: even 180 degrees blur by one pixel only,
 * which is the width of one picture element.
 */
const stillPixelsPerFrame = 2;

/**
 * Guidance for pans, from charts that camera manuals print: with 180 degrees at 24 frames/s, an object should take
 * 7 s or more to cross the picture. It then moves 1 / (7 x 24) of the width per frame, of which half is covered by
 * blur and half is left as a gap between the blur of one frame and that of the next. Faster pans look chopped, so
 * 1 / 336 of the width is the largest gap that passes: 5.7 pixels of 1920. The same length is, at that limit, the
 * blur that passes. That the limit holds per frame at other rates, and that a gap counts alike whether pan or shutter
 * made it, is our reading of the guidance.
 */
const passableFractionOfWidth = 1 / (7 * 24) / 2;

/** What is seen of a shutter: the gap that a short one leaves, or the blur of a long one, and how much of it passes. */
export interface SeenShutter {
  readonly seenFractionOfWidth: number;
  readonly passableFractionOfWidth: number;
}

interface MovingShutter {
  readonly angleDegrees: number;
  readonly targetDegrees: number;
  readonly highPixelsPerFrame?: number;
  readonly widthPixels?: number;
}

/**
 * Whether the shutter of a clip can be seen at the motion measured in it. A short shutter shows by the gaps it
 * leaves, motion x (1 - angle/360); one longer than its target shows by its blur, motion x angle/360.
 *
 * @param subject `highPixelsPerFrame` is the 95th percentile of the motion, at `widthPixels`
 * @example shutterMatters({ angleDegrees: 10.8, targetDegrees: 180, highPixelsPerFrame: 8, widthPixels: 1920 }) // 'yes'
 */
export function shutterMatters(subject: MovingShutter): 'yes' | 'no' | 'unknown' {
  const { highPixelsPerFrame } = subject;
  if (highPixelsPerFrame === undefined) return 'unknown';
  if (highPixelsPerFrame < stillPixelsPerFrame) return 'no';
  const seen = seenShutter(subject);
  if (seen === undefined) return 'unknown';
  return seen.seenFractionOfWidth > seen.passableFractionOfWidth ? 'yes' : 'no';
}

/** The numbers behind that, where the motion is known. */
export function seenShutter(subject: MovingShutter): SeenShutter | undefined {
  const { angleDegrees, targetDegrees, highPixelsPerFrame, widthPixels } = subject;
  if (highPixelsPerFrame === undefined || widthPixels === undefined) return undefined;
  const blur = blurPixels({ motionPixelsPerFrame: highPixelsPerFrame, angleDegrees });
  const seenPixels = angleDegrees > targetDegrees ? blur : highPixelsPerFrame - blur;
  return {
    seenFractionOfWidth: seenPixels / widthPixels,
    passableFractionOfWidth,
  };
}
