/** Like `Promise.all(items.map(work))`, with at most `most` of them under way. */
export async function mapAtOnce<T, R>(
  items: readonly T[],
  most: number,
  work: (item: T) => Promise<R>,
): Promise<R[]> {
  const results: R[] = [];
  const waiting = items.entries();
  const worker = async (): Promise<void> => {
    for (const [index, item] of waiting) results[index] = await work(item);
  };
  await Promise.all(Array.from({ length: Math.min(most, items.length) }, worker));
  return results;
}
