import { randomStream } from '../random.ts';

/** Two clips of one scene minutes apart: without a filter, and with one that misses its label. */
export interface TruePair {
  readonly flight: number;
  readonly withoutEv: number;
  readonly withEv: number;
}

/**
 * Pairs from flights of two each. `clipSpreadStops` is how much two clips of one scene differ by what moves in them,
 * by clouds and by the meter.
 */
export function makePairs(wanted: {
  readonly seed: number;
  readonly pairs: number;
  readonly trueStops: number;
  readonly clipSpreadStops: number;
}): readonly TruePair[] {
  const uniform = randomStream(wanted.seed);
  const normal = () => Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform());
  return Array.from({ length: wanted.pairs }, (_, index) => {
    const sceneEv = 13 + normal();
    return {
      flight: Math.floor(index / 2),
      withoutEv: sceneEv + wanted.clipSpreadStops * normal(),
      withEv: sceneEv - wanted.trueStops + wanted.clipSpreadStops * normal(),
    };
  });
}
