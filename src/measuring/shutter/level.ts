import { halveValues, shrinkLuma } from '../luma.ts';
import type { Luma } from '../luma.ts';
import { linearLight } from './linearLight.ts';
import type { FramePair, LumaPlane } from './framePair.ts';

/** A pair of pictures in units of light at several sizes. */
export interface PairLevels {
  readonly pair: FramePair;
  /** Halved `level` times; overwritten when the same pair or another one is asked for a size. */
  readonly at: (level: number) => { readonly first: Luma; readonly second: Luma };
}

// Most clips are looked at in one size. Keeping each pair in each size would cost more memory than the pairs.

/** Prepares pairs of one size, which share memory. */
export function planPairLevels(): (pair: FramePair) => PairLevels {
  const lightOf = [planLight(), planLight()] as const;
  return (pair) => ({
    pair,
    at: (level) => ({ first: lightOf[0](pair.first, level), second: lightOf[1](pair.second, level) }),
  });
}

function planLight(): (plane: LumaPlane, level: number) => Luma {
  let memory: Float32Array | undefined;
  return (plane, level) => {
    const light = linearLight(plane);
    if (level === 0) return light;
    const halved = halveValues(light, light.valueOfCode, memory);
    memory = halved.codes;
    return shrinkLuma(halved, 2 ** (level - 1));
  };
}
