import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';

/** Returns once everything that nobody holds any more is gone. */
export async function afterCollecting(): Promise<void> {
  setFlagsFromString('--expose-gc');
  const collect = runInNewContext('gc') as () => void;
  // What a weak reference was made of, and what the last calls left behind, lasts until the next turns.
  for (let turn = 0; turn < 3; turn++) {
    await new Promise(setImmediate);
    collect();
  }
}
