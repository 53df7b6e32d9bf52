import { collector } from '../src/cli/heap.ts';

/** Returns once everything that nobody holds any more is gone. */
export async function afterCollecting(): Promise<void> {
  const collect = collector();
  // What a weak reference was made of, and what the last calls left behind, lasts until the next turns.
  for (let turn = 0; turn < 3; turn++) {
    await new Promise(setImmediate);
    collect();
  }
}
