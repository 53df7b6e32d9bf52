import { layeredNoise } from './random.ts';

/** Farmland by the sea from straight above, in scene-linear light (mid-grey about 0.18), RGB interleaved. */
export interface Scene {
  readonly width: number;
  readonly height: number;
  readonly light: Float32Array;
}

export interface RowSpan {
  readonly from: number;
  readonly to: number;
}

export type Colour = readonly [number, number, number];

/** Twice the sampling of the clips, wide enough for the longest pan. */
export const SCENE_WIDTH = 4608;
export const SCENE_HEIGHT = 3072;

/** Height of the ground above the water line, negative in the sea. The coast runs along the lower right. */
export function elevationAt(x: number, y: number): number {
  const slope = -0.16 - 0.3 * ((x / SCENE_WIDTH) * 0.45 + (y / SCENE_HEIGHT) * 0.75);
  return layeredNoise(x / 1100, y / 1100, 11, 5) + slope;
}

export function isLand(x: number, y: number): boolean {
  return elevationAt(x, y) > 0.02;
}

export function put(scene: Scene, x: number, y: number, colour: Colour): void {
  const at = (y * scene.width + x) * 3;
  scene.light[at] = colour[0];
  scene.light[at + 1] = colour[1];
  scene.light[at + 2] = colour[2];
}

export function scaled(colour: Colour, factor: number): Colour {
  return [colour[0] * factor, colour[1] * factor, colour[2] * factor];
}
