import sharp from 'sharp';
import { highlightLight } from './highlights.ts';
import { developStill, type Developed } from './picture.ts';
import { blankPicture, choosePlace, expose, STILL_STRIDE } from './view.ts';
import type { StillPlan } from './plan.ts';
import type { Scene } from './land.ts';

/** Room for the offsets within a sequence, in scene samples: they run from -506 to 12. */
const ROOM = 620;
const ORIGIN = 590;

export function renderStill(plan: StillPlan, scene: Scene): Developed {
  const place = choosePlace(scene, 1000 + plan.seed, {
    width: plan.width + ROOM,
    height: plan.height + ROOM,
  });
  const picture = blankPicture(plan.width, plan.height);
  const at = { x: place.x + ORIGIN + plan.offset.x, y: place.y + ORIGIN + plan.offset.y };
  expose(picture, scene, { at, stride: STILL_STRIDE, smear: plan.blur });
  const highlight = plan.highlights[0];
  const added = highlight && highlightLight(highlight, plan);
  return developStill(picture, { gain: (0.18 / place.mean) * 2 ** plan.biasStops, added });
}

export async function writeStill(plan: StillPlan, bytes: Uint8Array, output: string): Promise<void> {
  const image = sharp(bytes, { raw: { width: plan.width, height: plan.height, channels: 3 } });
  const coded = {
    jpeg: () => image.jpeg({ quality: 88 }),
    tiff: () => image.tiff({ compression: 'lzw', predictor: 'horizontal' }),
    png: () => image.png(),
    webp: () => image.webp({ quality: 85 }),
  }[plan.format]();
  await coded.toFile(output);
}
