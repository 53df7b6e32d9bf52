import type { BlurCase, LightPicture } from './blurCase.ts';
import { photograph } from './camera.ts';
import { drawScene } from './drawnScenes.ts';
import { expose, type Layers } from './exposure.ts';
import { loadPhotograph } from './photographedScenes.ts';

type Codes = Uint8Array | Uint16Array;

// Scenes are large; neighbouring cases in a list share theirs.
const kept = new Map<string, LightPicture>();
const keptScenes = 3;

/** @returns undefined where a photograph is not installed */
async function sceneNamed(name: string): Promise<LightPicture | undefined> {
  const known = kept.get(name);
  if (known !== undefined) return known;
  const scene = drawScene(name) ?? (await loadPhotograph(name));
  if (scene === undefined) return undefined;
  if (kept.size >= keptScenes) kept.delete([...kept.keys()][0]!);
  kept.set(name, scene);
  return scene;
}

async function layersOf(blur: BlurCase): Promise<Layers | undefined> {
  const far = await sceneNamed(blur.scene);
  if (far === undefined || blur.move !== 'parallax') return far && { far };
  const light = await sceneNamed(blur.nearScene ?? blur.scene);
  return light && { far, near: { light, cover: islands(light) } };
}

/** Where the near layer stands: round patches with soft rims of some pixels. */
function islands({ width, height }: LightPicture): LightPicture {
  const cover = new Float32Array(width * height);
  for (let y = 0, i = 0; y < height; y++) {
    for (let x = 0; x < width; x++, i++) {
      const height01 = Math.sin(x / 190 + 2 * Math.sin(y / 410)) + Math.sin(y / 170 + 2 * Math.cos(x / 450));
      cover[i] = Math.min(1, Math.max(0, height01 * 12 + 0.5));
    }
  }
  return { width, height, light: cover };
}

/** The frames as the camera hands them to its encoder. @returns undefined where a photograph is not installed */
export async function renderFrames(blur: BlurCase): Promise<readonly Codes[] | undefined> {
  const layers = await layersOf(blur);
  if (layers === undefined) return undefined;
  const frames = Array.from({ length: blur.frames }, (_, frame) =>
    photograph(blur, expose(blur, layers, frameTime(blur, frame)), frame),
  );
  return convert(frames, blur.conversion);
}

/** From one moment to the next. */
const framesBetween = 36;

function frameTime({ frames, momentFrames = frames }: BlurCase, frame: number): number {
  return frame + framesBetween * Math.floor(frame / momentFrames);
}

function convert(frames: readonly Codes[], conversion: BlurCase['conversion']): readonly Codes[] {
  if (conversion === 'doubled') return frames.flatMap((frame) => [frame, frame]);
  if (conversion === 'four-to-five')
    return frames.flatMap((frame, i) => (i % 4 === 2 ? [frame, frame] : [frame]));
  if (conversion !== 'mixed') return frames;
  // 24 to 30 frames/s: the k-th new picture stands at 0.8 k between the old ones.
  const last = Math.floor((frames.length - 1) / 0.8);
  return Array.from({ length: last }, (_, k) => {
    const whole = Math.floor(k * 0.8);
    return blend(frames[whole]!, frames[Math.min(frames.length - 1, whole + 1)]!, k * 0.8 - whole);
  });
}

function blend(first: Codes, second: Codes, share: number): Codes {
  const out = first.slice();
  for (let i = 0; i < out.length; i++) out[i] = Math.round(first[i]! * (1 - share) + second[i]! * share);
  return out;
}
