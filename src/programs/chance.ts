import { AsyncLocalStorage } from 'node:async_hooks';

// A time-out, a crash or a failed read may go otherwise the next time, and where it happens nobody knows whether the
// outcome will be remembered. So it is noted there, and whoever remembers asks.

const watched = new AsyncLocalStorage<{ noted: boolean }>();

/** Says that the outcome of what is going on may be another one the next time, though nothing has changed. */
export function noteChance(): void {
  const watch = watched.getStore();
  if (watch !== undefined) watch.noted = true;
}

/** Does some work, and tells whether chance had a part in what came of it. */
export async function watchForChance<T>(
  work: () => Promise<T>,
): Promise<{ readonly result: T; readonly byChance: boolean }> {
  const watch = { noted: false };
  const result = await watched.run(watch, work);
  return { result, byChance: watch.noted };
}
