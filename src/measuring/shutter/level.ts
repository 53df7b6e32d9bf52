import { shrinkLuma } from '../luma.ts';
import type { Luma } from '../luma.ts';
import { linearLight } from './linearLight.ts';
import type { FramePair, LumaPlane } from './framePair.ts';

/** A pair of pictures in units of light at several sizes; each size is made when it is first asked for. */
export interface PairLevels {
  readonly pair: FramePair;
  /** Halved `level` times. */
  readonly at: (level: number) => { readonly first: Luma; readonly second: Luma };
}

/** Light of a plane, halved as often as asked; planes shared by two pairs are made once. */
export type LevelsOfPlane = (plane: LumaPlane, level: number) => Luma;

export function keepLevels(): LevelsOfPlane {
  const kept = new Map<LumaPlane, Luma[]>();
  const levelsOfPlane: LevelsOfPlane = (plane, level) => {
    const levels = kept.get(plane) ?? [linearLight(plane)];
    kept.set(plane, levels);
    while (levels.length <= level) levels.push(shrinkLuma(levels[levels.length - 1]!, 2));
    return levels[level]!;
  };
  return levelsOfPlane;
}

export function pairLevels(pair: FramePair, levelsOfPlane: LevelsOfPlane): PairLevels {
  return {
    pair,
    at: (level) => ({ first: levelsOfPlane(pair.first, level), second: levelsOfPlane(pair.second, level) }),
  };
}
