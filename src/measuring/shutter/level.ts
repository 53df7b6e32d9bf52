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

/** Light of a plane, halved as often as asked. */
export type LevelsOfPlane = (plane: LumaPlane, level: number) => Luma;

/** Keeps the halved sizes; the full one is large and is made anew when it is asked for. */
export function keepLevels(): LevelsOfPlane {
  const kept = new Map<LumaPlane, Luma[]>();
  return (plane, level) => {
    if (level === 0) return linearLight(plane);
    const halved = kept.get(plane) ?? [shrinkLuma(linearLight(plane), 2)];
    kept.set(plane, halved);
    while (halved.length < level) halved.push(shrinkLuma(halved[halved.length - 1]!, 2));
    return halved[level - 1]!;
  };
}

export function pairLevels(pair: FramePair, levelsOfPlane: LevelsOfPlane): PairLevels {
  return {
    pair,
    at: (level) => ({ first: levelsOfPlane(pair.first, level), second: levelsOfPlane(pair.second, level) }),
  };
}
