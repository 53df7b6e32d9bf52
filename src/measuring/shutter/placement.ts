import type { LumaPlane } from './framePair.ts';

/** Where a tile stands: its centre, in pixels of the picture as recorded. */
export interface Place {
  readonly x: number;
  readonly y: number;
  /** Root mean square difference of codes 4 pixels of the level apart, in 8-bit codes. */
  readonly gradientCodes: number;
}

export const tileSize = 128;
const margin = 8;
/** Below this sensor noise and codec are most of what there is. */
const leastGradientCodes = 3;
const enoughCandidates = 24;

/** The best textured places for tiles at one level, best first; where few fit side by side, neighbours overlap. */
export function textured(plane: LumaPlane, level: number, most: number): readonly Place[] {
  const side = tileSize << level;
  const edge = margin << level;
  const overlap = [1, 2].find((per) => candidates(plane, side, edge, per) >= enoughCandidates) ?? 4;
  const places: Place[] = [];
  for (const y of centres(plane.height, side, edge, overlap))
    for (const x of centres(plane.width, side, edge, overlap))
      places.push({ x, y, gradientCodes: gradient(plane, x - side / 2, y - side / 2, level) });
  return places
    .filter((place) => place.gradientCodes >= leastGradientCodes)
    .sort((a, b) => b.gradientCodes - a.gradientCodes)
    .slice(0, most);
}

function candidates({ width, height }: LumaPlane, side: number, edge: number, overlap: number): number {
  return countAlong(width, side, edge, overlap) * countAlong(height, side, edge, overlap);
}

function countAlong(length: number, side: number, edge: number, overlap: number): number {
  const room = length - 2 * edge - side;
  return room < 0 ? 0 : Math.floor((room / side) * overlap) + 1;
}

function centres(length: number, side: number, edge: number, overlap: number): readonly number[] {
  const count = countAlong(length, side, edge, overlap);
  const room = length - 2 * edge - side;
  return Array.from({ length: count }, (_, i) =>
    Math.round(edge + side / 2 + (count > 1 ? (room * i) / (count - 1) : room / 2)),
  );
}

function gradient({ codes, width, bitDepth }: LumaPlane, left: number, top: number, level: number): number {
  const step = 4 << level;
  const reach = 2 << level;
  let sum = 0;
  let count = 0;
  for (let y = top + step; y < top + (tileSize << level) - step; y += step) {
    for (let x = left + step; x < left + (tileSize << level) - step; x += step, count++) {
      const at = Math.round(y) * width + Math.round(x);
      const across = codes[at + reach]! - codes[at - reach]!;
      const down = codes[at + reach * width]! - codes[at - reach * width]!;
      sum += across * across + down * down;
    }
  }
  return Math.sqrt(sum / count) / 2 ** (bitDepth - 8);
}
