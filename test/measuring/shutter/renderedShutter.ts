import type { BlurCase } from '../../../sample-media-generator/blur/blurCase.ts';
import { throughCodec } from '../../../sample-media-generator/blur/compressed.ts';
import { renderFrames } from '../../../sample-media-generator/blur/footage.ts';
import { estimateShutter } from '../../../src/measuring/shutter/estimateShutter.ts';
import type { FramePair } from '../../../src/measuring/shutter/framePair.ts';
import { pairUp } from '../../bench/renderedClips.ts';

/** A small picture with a camera's usual noise and sharpening and no codec: quick to render. */
const smallCamera: BlurCase = {
  id: 'test',
  scene: 'gravel',
  move: 'pan',
  pixelsPerFrame: 16,
  directionDegrees: 15,
  angleDegrees: 180,
  frames: 3,
  width: 800,
  height: 600,
  bitDepth: 8,
  seed: 5,
  transfer: 'bt709',
  lensSigmaPixels: 0.55,
  noiseCodes: 1.5,
  sharpening: { amount: 0.6, sigmaPixels: 1 },
};

/** Renders a variation of the small camera and estimates its shutter, from the pairs as they are or changed. */
export async function estimateOf(
  variation: Partial<BlurCase>,
  change: (pairs: readonly FramePair[]) => readonly FramePair[] = (pairs) => pairs,
): Promise<ReturnType<typeof estimateShutter>> {
  const blur = { ...smallCamera, ...variation };
  const rendered = await renderFrames(blur);
  if (rendered === undefined) throw new Error(`Scene "${blur.scene}" is not drawn here.`);
  return estimateShutter(change(pairUp(blur, await throughCodec(blur, rendered))));
}
