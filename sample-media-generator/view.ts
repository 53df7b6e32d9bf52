import { lattice } from './random.ts';
import type { Scene } from './land.ts';

export interface Point {
  readonly x: number;
  readonly y: number;
}

export interface Box extends Point {
  readonly width: number;
  readonly height: number;
}

/** Scene samples per pixel along a side: clips are seen at half the sampling of the scene, stills at all of it. */
export const CLIP_STRIDE = 2;
export const STILL_STRIDE = 1;

export function blankPicture(width: number, height: number): Scene {
  return { width, height, light: new Float32Array(width * height * 3) };
}

interface Look {
  readonly at: Point;
  readonly stride: number;
  /** Way of the ground while the shutter was open, in scene samples. */
  readonly smear: Point;
}

/** What the sensor collects: the average, in linear light, of enough looks along the smear: at most 2/3 sample apart. */
export function expose(target: Scene, source: Scene, { at, stride, smear }: Look): void {
  target.light.fill(0);
  const looks = Math.max(1, Math.ceil(1.5 * Math.hypot(smear.x, smear.y)));
  for (let look = 0; look < looks; look++) {
    const share = (look + 0.5) / looks - 0.5;
    addLook(target, source, { x: at.x + share * smear.x, y: at.y + share * smear.y }, stride, 1 / looks);
  }
}

/** Adds one bilinear look. The stride is whole, so every pixel has the same four weights. */
function addLook(target: Scene, source: Scene, at: Point, stride: number, weight: number): void {
  const left = Math.floor(at.x);
  const top = Math.floor(at.y);
  const right = (at.x - left) * weight;
  const down = at.y - top;
  const a = (weight - right) * (1 - down);
  const b = right * (1 - down);
  const c = (weight - right) * down;
  const d = right * down;
  const input = source.light;
  const output = target.light;
  const below = source.width * 3;
  const skip = stride * 3 - 3;
  let to = 0;
  for (let row = 0; row < target.height; row++) {
    let from = ((top + row * stride) * source.width + left) * 3;
    for (const endOfRow = to + target.width * 3; to < endOfRow; from += skip) {
      for (const endOfPixel = to + 3; to < endOfPixel; to++, from++) {
        output[to]! +=
          a * input[from]! + b * input[from + 3]! + c * input[from + below]! + d * input[from + below + 3]!;
      }
    }
  }
}

/** The square of a pixel collects light from all of its 2 x 2 scene samples, not from a point. In place. */
export function applyPixelAperture({ width, height, light }: Scene): void {
  const below = width * 3;
  const end = (height - 1) * below - 3;
  for (let at = 0; at < end; at++) {
    light[at] = (light[at]! + light[at + 3]! + light[at + below]! + light[at + below + 3]!) / 4;
  }
}

/** Mean luminance of a part of the scene, with the BT.709 weights. */
function meanLight(scene: Scene, box: Box): number {
  let sum = 0;
  let count = 0;
  for (let y = Math.floor(box.y); y < box.y + box.height; y += 7) {
    for (let x = Math.floor(box.x); x < box.x + box.width; x += 7, count++) {
      const at = (y * scene.width + x) * 3;
      sum += 0.2126 * scene.light[at]! + 0.7152 * scene.light[at + 1]! + 0.0722 * scene.light[at + 2]!;
    }
  }
  return sum / count;
}

/** A seeded place for a box of this size where the ground is of ordinary brightness: neither all sea nor all straw. */
export function choosePlace(scene: Scene, seed: number, size: Omit<Box, 'x' | 'y'>): Box & { mean: number } {
  const candidates = Array.from({ length: 12 }, (_, attempt) => {
    const x = Math.floor(lattice(attempt, 1, seed) * (scene.width - size.width - 2)) + 1;
    const y = Math.floor(lattice(attempt, 2, seed) * (scene.height - size.height - 2)) + 1;
    const box = { x, y, ...size };
    return { ...box, mean: meanLight(scene, box) };
  });
  const ordinary = candidates.find(({ mean }) => mean > 0.15 && mean < 0.19);
  return (
    ordinary ?? candidates.reduce((best, next) => (distance(next.mean) < distance(best.mean) ? next : best))
  );
}

function distance(mean: number): number {
  return Math.abs(mean - 0.17);
}
