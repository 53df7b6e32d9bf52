import type { Luma } from '../luma.ts';
import type { Shift } from '../motion/crossSpectrum.ts';
import type { FramePair, LumaPlane } from './framePair.ts';
import { linearLight, type LightOfCodes } from './linearLight.ts';
import { tileSize } from './placement.ts';

/** One picture in units of light, halved some times. Only what is asked for is ever in memory. */
export interface LightPlane {
  readonly width: number;
  readonly height: number;
  /** The tile whose upper left corner stands at a place inside; overwritten by the next. */
  readonly tile: (at: Shift) => Luma;
  /** The whole, shrunk further: good enough to search in. */
  readonly shrunk: (factor: number) => Luma;
}

/** A pair of pictures in units of light at several sizes. */
export interface PairLevels {
  readonly pair: FramePair;
  /** Halved `level` times. */
  readonly at: (level: number) => { readonly first: LightPlane; readonly second: LightPlane };
}

/** Blocks from this size on have codes enough to leave out every other row and column. */
const leastSkippedBlock = 4;

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
        return {
          width: tileSize,
          height: tileSize,
          codes: blockMeans(light, { side, step: 1 }, place, tileMeans),
        };
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
        const step = block >= leastSkippedBlock ? 2 : 1;
        return {
          width: place.width,
          height: place.height,
          codes: blockMeans(light, { side: block, step }, place, means),
        };
      },
    };
  };
}

/** In blocks, all of them. */
interface Part extends Shift {
  readonly width: number;
  readonly height: number;
}

interface Blocks {
  readonly side: number;
  /** Of so many rows and columns one is looked at; divides `side`. */
  readonly step: number;
}

/** Mean light of square blocks, row by row. */
function blockMeans(light: LightOfCodes, blocks: Blocks, part: Part, into: Float32Array): Float32Array {
  if (blocks.side === 2 && blocks.step === 1) return quadMeans(light, part, into);
  const { width: stride, codes, valueOfCode } = light;
  const { side, step } = blocks;
  const lines = side * stride;
  const scale = (step / side) ** 2;
  for (let row = 0, to = 0; row < part.height; row++)
    for (
      let left = (part.y + row) * lines + part.x * side, end = to + part.width;
      to < end;
      to++, left += side
    ) {
      let sum = 0;
      for (let line = left; line < left + lines; line += step * stride)
        for (let at = line; at < line + side; at += step) sum += valueOfCode[codes[at]!]!;
      into[to] = sum * scale;
    }
  return into;
}

/** The same for blocks of four, which are most of all: a third of the time. */
function quadMeans(
  { width: stride, codes, valueOfCode }: LightOfCodes,
  { x, y, width, height }: Part,
  into: Float32Array,
): Float32Array {
  for (let row = 0, to = 0; row < height; row++)
    for (let a = 2 * ((y + row) * stride + x), end = to + width; to < end; to++, a += 2) {
      const b = a + stride;
      const above = valueOfCode[codes[a]!]! + valueOfCode[codes[a + 1]!]!;
      into[to] = (above + valueOfCode[codes[b]!]! + valueOfCode[codes[b + 1]!]!) / 4;
    }
  return into;
}
