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

/**
 * Whether the shutter of a clip can be seen at the motion measured in it. A short shutter shows by the gaps it
 * leaves, motion x (1 - angle/360); one longer than its target shows by its blur, motion x angle/360.
 *
 * @param subject `highPixelsPerFrame` is the 95th percentile of the motion, at `widthPixels`
 * @example shutterMatters({ angleDegrees: 10.8, targetDegrees: 180, highPixelsPerFrame: 8, widthPixels: 1920 }) // 'yes'
 */
export function shutterMatters(subject: {
  readonly angleDegrees: number;
  readonly targetDegrees: number;
  readonly highPixelsPerFrame?: number | undefined;
  readonly widthPixels?: number | undefined;
}): 'yes' | 'no' | 'unknown' {
  const { angleDegrees, targetDegrees, highPixelsPerFrame, widthPixels } = subject;
  if (highPixelsPerFrame === undefined) return 'unknown';
  if (highPixelsPerFrame < stillPixelsPerFrame) return 'no';
  if (widthPixels === undefined) return 'unknown';
  const blur = blurPixels({ motionPixelsPerFrame: highPixelsPerFrame, angleDegrees });
  const seenPixels = angleDegrees > targetDegrees ? blur : highPixelsPerFrame - blur;
  return seenPixels > passableFractionOfWidth * widthPixels ? 'yes' : 'no';
}
