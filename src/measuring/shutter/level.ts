import type { Shift } from '../motion/crossSpectrum.ts';
import type { Luma } from '../luma.ts';
import { linearLight } from './linearLight.ts';
import type { LightOfCodes } from './linearLight.ts';
import type { FramePair, LumaPlane } from './framePair.ts';
import { tileSize } from './placement.ts';

/** One picture in units of light, halved some times. Only what is asked for is ever in memory. */
export interface LightPlane {
  readonly width: number;
  readonly height: number;
  /** The tile whose upper left corner stands at a place inside; overwritten by the next. */
  readonly tile: (at: Shift) => Luma;
  /** The whole, shrunk further. */
  readonly shrunk: (factor: number) => Luma;
}

/** A pair of pictures in units of light at several sizes. */
export interface PairLevels {
  readonly pair: FramePair;
  /** Halved `level` times. */
  readonly at: (level: number) => { readonly first: LightPlane; readonly second: LightPlane };
}

/** Prepares pairs of one size, which share memory. */
export function planPairLevels(): (pair: FramePair) => PairLevels {
  const planeOf = [planLight(), planLight()] as const;
  return (pair) => ({
    pair,
    at: (level) => ({ first: planeOf[0](pair.first, level), second: planeOf[1](pair.second, level) }),
  });
}

function planLight(): (plane: LumaPlane, level: number) => LightPlane {
  const tileMeans = new Float32Array(tileSize * tileSize);
  return (plane, level) => {
    const light = linearLight(plane);
    const side = 2 ** level;
    return {
      width: plane.width >> level,
      height: plane.height >> level,
      tile: (at) => {
        const place = { ...at, width: tileSize, height: tileSize };
        return { width: tileSize, height: tileSize, codes: blockMeans(light, side, place, tileMeans) };
      },
      shrunk: (factor) => {
        const block = side * factor;
        const place = {
          x: 0,
          y: 0,
          width: Math.floor(plane.width / block),
          height: Math.floor(plane.height / block),
        };
        const means = new Float32Array(place.width * place.height);
        return { width: place.width, height: place.height, codes: blockMeans(light, block, place, means) };
      },
    };
  };
}

/** In blocks, all of them. */
interface Part extends Shift {
  readonly width: number;
  readonly height: number;
}

/** Mean light of square blocks, row by row. */
function blockMeans(
  { width: stride, codes, valueOfCode }: LightOfCodes,
  side: number,
  { x, y, width, height }: Part,
  into: Float32Array,
): Float32Array {
  into.fill(0);
  for (let row = 0; row < height * side; row++) {
    let to = Math.floor(row / side) * width;
    let at = (y * side + row) * stride + x * side;
    for (const end = to + width; to < end; to++) {
      let sum = 0;
      for (const next = at + side; at < next; at++) sum += valueOfCode[codes[at]!]!;
      into[to]! += sum;
    }
  }
  const scale = 1 / side ** 2;
  for (let i = 0; i < into.length; i++) into[i]! *= scale;
  return into;
}
