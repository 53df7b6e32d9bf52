/**
 * The order of texts by their code units, the same on every system and in every language.
 *
 * @returns < 0 where `a` stands first, > 0 where `b` does, else 0
 * @example compareText('B', 'a') // -1
 */
export function compareText(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}
