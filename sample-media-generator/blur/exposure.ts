import type { BlurCase, LightPicture } from './blurCase.ts';
import { cameraPath, type CameraPath, type PictureToScene } from './cameraPath.ts';
import { addRow, type RowPlaces } from './sceneLight.ts';

export interface Layers {
  readonly far: LightPicture;
  /** Opaque where `cover` is 1, with the scale of `far`. */
  readonly near?: { readonly light: LightPicture; readonly cover: LightPicture };
}

/** Samples lie this far apart along a path, in texels: half a picture pixel, so that the sum is near the integral. */
const stepTexels = 1;
/**
 * Of a flight, whose samples take turns inside a pixel: with few of them the turns fall in step with the blur and fill its
 * zeros, the first with four.
 */
const leastFlightSamples = 32;

/** The light that one exposure collects, opened at `frameIndex` for angle / 360 of the frame time. */
export function expose(blur: BlurCase, layers: Layers, frameIndex: number): Float32Array {
  const light = new Float32Array(blur.width * blur.height);
  const farPath = cameraPath(blur, layers.far, layers.near === undefined ? 1 : 0.4);
  const nearPath = cameraPath(blur, layers.far);
  for (let y = 0; y < blur.height; y++) {
    const opens = frameIndex + ((blur.readoutFraction ?? 0) * y) / blur.height;
    const far = rowTracks(farPath, opens, blur, y);
    const row = light.subarray(y * blur.width, (y + 1) * blur.width);
    if (layers.near === undefined) collect(layers.far, far, blur, row);
    else collectLayers(layers as Required<Layers>, far, rowTracks(nearPath, opens, blur, y), row);
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
  return {
    x: x!,
    y: y!,
    samples: Math.max(
      blur.move === 'flight' ? leastFlightSamples : 4,
      Math.ceil(longest / stepTexels / 4) * 4,
    ),
  };
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
const insideX = [-0.5, 0.5, 0.5, -0.5] as const;
const insideY = [-0.5, 0.5, -0.5, 0.5] as const;

function collect(scene: LightPicture, tracks: Tracks, blur: BlurCase, row: Float32Array): void {
  const { samples } = tracks;
  for (let j = 0; j < samples; j++) {
    const at = placesAt(tracks, (j + 0.5) / samples);
    if (blur.move === 'flight') {
      for (let i = 0; i < row.length; i++) {
        at.x[i]! += insideX[j & 3]!;
        at.y[i]! += insideY[j & 3]!;
      }
    }
    addRow(scene, at, blur.move === 'pan', row);
  }
  for (let i = 0; i < row.length; i++) row[i]! /= samples;
}

/** The near layer hides the far one at every moment of the exposure, not only in its sum. */
function collectLayers(
  { far, near }: Required<Layers>,
  farTracks: Tracks,
  nearTracks: Tracks,
  row: Float32Array,
): void {
  const { samples } = nearTracks;
  for (let j = 0; j < samples; j++) {
    const nearAt = placesAt(nearTracks, (j + 0.5) / samples);
    const [cover, light, behind] = [near.cover, near.light, far].map((layer) => {
      const values = new Float32Array(row.length);
      addRow(layer, layer === far ? placesAt(farTracks, (j + 0.5) / samples) : nearAt, true, values);
      return values;
    }) as [Float32Array, Float32Array, Float32Array];
    for (let i = 0; i < row.length; i++)
      row[i]! += (behind[i]! + cover[i]! * (light[i]! - behind[i]!)) / samples;
  }
}

/** Where the pixels of a row look at a part of the exposure, [0, 1]: on the parabola through its three places. */
function placesAt({ x, y }: Tracks, part: number): RowPlaces {
  const [a, b, c] = [(1 - part) * (1 - 2 * part), 4 * part * (1 - part), part * (2 * part - 1)];
  const along = ([first, middle, last]: readonly Float64Array[]) => {
    const places = new Float64Array(first!.length);
    for (let i = 0; i < places.length; i++) places[i] = a * first![i]! + b * middle![i]! + c * last![i]!;
    return places;
  };
  return { x: along(x), y: along(y) };
}
