/** Like `Promise.all(items.map(work))`, with at most `limit` of them under way. */
export async function mapWithLimit<T, R>(
  items: readonly T[],
  limit: number,
  work: (item: T) => Promise<R>,
): Promise<R[]> {
  const results: R[] = [];
  const waiting = items.entries();
  const lane = async (): Promise<void> => {
    for (const [index, item] of waiting) results[index] = await work(item);
  };
  await Promise.all(Array.from({ length: Math.min(limit, items.length) }, lane));
  return results;
}

/** Takes a share, waiting until there is enough of it, and gives what hands it back. */
export type Budget = (amount: number) => Promise<() => void>;

/** Shares out a total, first come, first served. Who asks for more than all gets all of it. */
export function sharedBudget(total: number): Budget {
  let left = total;
  const waiting: { readonly amount: number; readonly serve: () => void }[] = [];
  const serve = (): void => {
    while (waiting.length > 0 && waiting[0]!.amount <= left) {
      const next = waiting.shift()!;
      left -= next.amount;
      next.serve();
    }
  };
  return (requested) => {
    const amount = Math.min(requested, total);
    let taken = amount;
    const giveBack = (): void => {
      left += taken;
      taken = 0;
      serve();
    };
    return new Promise((resolve) => {
      waiting.push({ amount, serve: () => resolve(giveBack) });
      serve();
    });
  };
}
