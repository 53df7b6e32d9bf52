/**
 * A list whose entries are made anew whenever they are asked for, and held by nobody: for what is too much to be held at
 * once. An entry that is asked for twice gives two values, equal and not the same.
 * @example lazyList(3, (index) => index * 10).map((entry) => entry + 1) // [1, 11, 21]
 */
export function lazyList<T>(length: number, entry: (index: number) => T): readonly T[] {
  const list: T[] = [];
  for (let index = 0; index < length; index++)
    Object.defineProperty(list, index, { get: () => entry(index), enumerable: true });
  return list;
}
