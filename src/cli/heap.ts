import { getHeapStatistics, setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';

/** So much garbage is worth the hundredth of a second in which it is collected. */
const leastGarbageBytes = 3 << 20;
/** In a large heap collecting takes longer: there so much of what was left last time. */
const garbageShare = 0.2;

/**
 * Gives what is to be called often: it collects garbage whenever enough has come together. Keeping what came of each file
 * and writing reports make more of it the larger the card, and V8 lets 8 MB lie, whatever its flags.
 */
export function collectEarly(): () => void {
  let collectAtBytes = 0;
  let collect: (() => void) | undefined;
  return () => {
    if (usedBytes() < collectAtBytes) return;
    collect ??= collector();
    collect();
    const left = usedBytes();
    collectAtBytes = left + Math.max(leastGarbageBytes, garbageShare * left);
  };
}

function usedBytes(): number {
  return getHeapStatistics().used_heap_size;
}

/** V8 hands out its collector only to contexts that are made once it was told to. */
export function collector(): () => void {
  setFlagsFromString('--expose-gc');
  return runInNewContext('gc') as () => void;
}
