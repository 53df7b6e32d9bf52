import { cameraPath } from './cameraPath.ts';
import type { CameraPath, PictureToScene } from './cameraPath.ts';
import type { BlurCase, LightPicture } from './blurCase.ts';

export interface Layers {
  readonly far: LightPicture;
  /** Opaque where `cover` is 1, with the scale of `far`. */
  readonly near?: { readonly light: LightPicture; readonly cover: LightPicture };
}

/** Samples lie this far apart along a path, in texels: half a picture pixel, so that the sum is near the integral. */
const stepTexels = 1;

/** The light that one exposure collects, opened at `frameIndex` for angle / 360 of the frame time. */
export function expose(blur: BlurCase, layers: Layers, frameIndex: number): Float32Array {
  const light = new Float32Array(blur.width * blur.height);
  const farPath = cameraPath(blur, layers.far, layers.near === undefined ? 1 : 0.4);
  const nearPath = cameraPath(blur, layers.far);
  for (let y = 0; y < blur.height; y++) {
    const opens = frameIndex + ((blur.readoutFraction ?? 0) * y) / blur.height;
    const far = rowTracks(farPath, opens, blur, y);
    if (layers.near === undefined) collect(layers.far, far, blur, light, y);
    else collectLayers(layers as Required<Layers>, far, rowTracks(nearPath, opens, blur, y), light, y);
  }
  return light;
}

/** For each pixel of a row: place at opening, in the middle and at closing, in texels. */
interface Tracks {
  readonly x: readonly Float64Array[];
  readonly y: readonly Float64Array[];
  readonly samples: number;
}

function rowTracks(path: CameraPath, opens: number, blur: BlurCase, row: number): Tracks {
  const open = blur.angleDegrees / 360;
  const maps = [0, 0.5, 1].map((part) => path(opens + part * open));
  const [x, y] = [0, 1].map((axis) => maps.map((map) => places(map, row, blur.width, axis as 0 | 1)));
  let longest = 0;
  for (let i = 0; i < blur.width; i += 16)
    longest = Math.max(longest, Math.hypot(x![2]![i]! - x![0]![i]!, y![2]![i]! - y![0]![i]!));
  return { x: x!, y: y!, samples: Math.max(4, Math.ceil(longest / stepTexels / 4) * 4) };
}

function places(map: PictureToScene, row: number, width: number, axis: 0 | 1): Float64Array {
  const at = new Float64Array(width);
  const first = axis * 3;
  for (let x = 0; x < width; x++) {
    const scale = map[6]! * x + map[7]! * row + map[8]!;
    at[x] = (map[first]! * x + map[first + 1]! * row + map[first + 2]!) / scale;
  }
  return at;
}

// Four places inside a pixel, taken in turn: the ground far ahead is finer than the pixels that look at it.
const [insideX, insideY] = [
  [-0.25, 0.25, 0.25, -0.25],
  [-0.25, 0.25, -0.25, 0.25],
] as const;

function collect(scene: LightPicture, { x, y, samples }: Tracks, blur: BlurCase, light: Float32Array, row: number): void {
  const spread = blur.move === 'flight' ? 2 : 0;
  const start = row * blur.width;
  for (let j = 0; j < samples; j++) {
    const [before, middle, after] = parabola((j + 0.5) / samples);
    const [dx, dy] = [insideX[j & 3]! * spread, insideY[j & 3]! * spread];
    if (blur.move === 'pan') {
      const atX = before * x[0]![0]! + middle * x[1]![0]! + after * x[2]![0]!;
      const atY = before * y[0]![0]! + middle * y[1]![0]! + after * y[2]![0]!;
      if (collectShifted(scene, atX, atY, light.subarray(start, start + blur.width))) continue;
    }
    for (let i = 0; i < blur.width; i++) {
      const atX = before * x[0]![i]! + middle * x[1]![i]! + after * x[2]![i]! + dx;
      const atY = before * y[0]![i]! + middle * y[1]![i]! + after * y[2]![i]! + dy;
      light[start + i]! += lightAt(scene, atX, atY);
    }
  }
  for (let i = start; i < start + blur.width; i++) light[i]! /= samples;
}

/** A row of a pan: two texels to a pixel and one place between texels for all, which is much quicker. */
function collectShifted({ width, height, light: texels }: LightPicture, x: number, y: number, row: Float32Array): boolean {
  const [left, top] = [Math.floor(x), Math.floor(y)];
  if (left < 0 || top < 0 || left + 2 * row.length >= width || top + 1 >= height) return false;
  const [u, v] = [x - left, y - top];
  const [a, b, c, d] = [(1 - u) * (1 - v), u * (1 - v), (1 - u) * v, u * v];
  for (let i = 0, at = top * width + left; i < row.length; i++, at += 2)
    row[i]! += a * texels[at]! + b * texels[at + 1]! + c * texels[at + width]! + d * texels[at + width + 1]!;
  return true;
}

function collectLayers(
  { far, near }: Required<Layers>,
  farTracks: Tracks,
  nearTracks: Tracks,
  light: Float32Array,
  row: number,
): void {
  const { samples } = nearTracks;
  const width = farTracks.x[0]!.length;
  for (let j = 0; j < samples; j++) {
    const [before, middle, after] = parabola((j + 0.5) / samples);
    for (let i = 0; i < width; i++) {
      const at = (place: readonly Float64Array[]) =>
        before * place[0]![i]! + middle * place[1]![i]! + after * place[2]![i]!;
      const x = at(nearTracks.x);
      const y = at(nearTracks.y);
      const cover = lightAt(near.cover, x, y);
      const behind = cover < 1 ? (1 - cover) * lightAt(far, at(farTracks.x), at(farTracks.y)) : 0;
      light[row * width + i]! += (behind + (cover > 0 ? cover * lightAt(near.light, x, y) : 0)) / samples;
    }
  }
}

/** Weights of start, middle and end for a place on the parabola through them. */
function parabola(t: number): readonly [number, number, number] {
  return [(1 - t) * (1 - 2 * t), 4 * t * (1 - t), t * (2 * t - 1)];
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
  const [l, r, t, b] = [mirror(left, width), mirror(left + 1, width), mirror(top, height), mirror(top + 1, height)];
  const above = light[t * width + l]! * (1 - u) + light[t * width + r]! * u;
  const below = light[b * width + l]! * (1 - u) + light[b * width + r]! * u;
  return above * (1 - v) + below * v;
}

function mirror(index: number, length: number): number {
  const within = ((index % (2 * length)) + 2 * length) % (2 * length);
  return within < length ? within : 2 * length - 1 - within;
}
