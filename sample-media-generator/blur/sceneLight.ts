import type { LightPicture } from './blurCase.ts';

/** Where the pixels of one row look, in texels of a scene. */
export interface RowPlaces {
  readonly x: Float64Array;
  readonly y: Float64Array;
}

/** Adds a scene's light to a row. `straight`: all pixels look two texels apart along a row of texels, which is quicker. */
export function addRow(scene: LightPicture, { x, y }: RowPlaces, straight: boolean, row: Float32Array): void {
  if (straight && addStraightRow(scene, x[0]!, y[0]!, row)) return;
  for (let i = 0; i < row.length; i++) row[i]! += lightAt(scene, x[i]!, y[i]!);
}

function addStraightRow(
  { width, height, light }: LightPicture,
  x: number,
  y: number,
  row: Float32Array,
): boolean {
  const [left, top] = [Math.floor(x), Math.floor(y)];
  if (left < 0 || top < 0 || left + 2 * row.length >= width || top + 1 >= height) return false;
  const [u, v] = [x - left, y - top];
  const [a, b, c, d] = [(1 - u) * (1 - v), u * (1 - v), (1 - u) * v, u * v];
  for (let i = 0, at = top * width + left; i < row.length; i++, at += 2)
    row[i]! += a * light[at]! + b * light[at + 1]! + c * light[at + width]! + d * light[at + width + 1]!;
  return true;
}

/** Bilinear between texels; the scene goes on mirrored beyond its edges. */
function lightAt({ width, height, light }: LightPicture, x: number, y: number): number {
  const left = Math.floor(x);
  const top = Math.floor(y);
  const u = x - left;
  const v = y - top;
  if (left >= 0 && top >= 0 && left < width - 1 && top < height - 1) {
    const at = top * width + left;
    const above = light[at]! + u * (light[at + 1]! - light[at]!);
    const below = light[at + width]! + u * (light[at + width + 1]! - light[at + width]!);
    return above + v * (below - above);
  }
  const [l, r, t, b] = [
    mirror(left, width),
    mirror(left + 1, width),
    mirror(top, height),
    mirror(top + 1, height),
  ];
  const above = light[t * width + l]! * (1 - u) + light[t * width + r]! * u;
  const below = light[b * width + l]! * (1 - u) + light[b * width + r]! * u;
  return above * (1 - v) + below * v;
}

function mirror(index: number, length: number): number {
  const within = ((index % (2 * length)) + 2 * length) % (2 * length);
  return within < length ? within : 2 * length - 1 - within;
}
