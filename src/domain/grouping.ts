/**
 * Things by what they have in common: groups in the order of their first ones, each in the order given.
 * @example [...groupedBy(['A', 'BB', 'C'], (text) => text.length).values()] // [['A', 'C'], ['BB']]
 */
export function groupedBy<T, K>(things: readonly T[], keyOf: (thing: T) => K): ReadonlyMap<K, readonly T[]> {
  const groups = new Map<K, T[]>();
  for (const thing of things) {
    const key = keyOf(thing);
    const group = groups.get(key);
    if (group === undefined) groups.set(key, [thing]);
    else group.push(thing);
  }
  return groups;
}

/**
 * Values with how often each comes, the most frequent first; of equals the one that came first.
 * @example mostFrequentFirst([24, 30, 30]) // [[30, 2], [24, 1]]
 */
export function mostFrequentFirst<T>(values: readonly T[]): readonly (readonly [value: T, count: number])[] {
  return [...groupedBy(values, (value) => value)]
    .map(([value, alike]) => [value, alike.length] as const)
    .sort(([, a], [, b]) => b - a);
}
