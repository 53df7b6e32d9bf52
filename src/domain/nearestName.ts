/** A longer name than file systems allow is looked at up to here. */
const longestName = 255;

/**
 * The name that a pattern of file names misses by the fewest letters; of those that it misses by as many, the first. With
 * a "/" in the pattern, whole paths are compared.
 * @example nearestName('CLIP00O3.MP4', ['DCIM/CLIP0001.MP4', 'DCIM/CLIP0003.MP4']) // 'CLIP0003.MP4'
 */
export function nearestName(pattern: string, paths: readonly string[]): string | undefined {
  const wanted = comparable(pattern);
  let nearest: { readonly name: string; readonly misses: number } | undefined;
  for (const path of paths) {
    const name = pattern.includes('/') ? path : path.slice(path.lastIndexOf('/') + 1);
    const misses = missedLetters(wanted, comparable(name));
    if (nearest === undefined || misses < nearest.misses) nearest = { name, misses };
  }
  return nearest?.name;
}

function comparable(name: string): string {
  return name.slice(0, longestName).toLowerCase();
}

/**
 * How many letters must be put in, taken out or changed until a pattern fits (Levenshtein's distance, in which "*" takes
 * in any letters and "?" any one for nothing).
 */
function missedLetters(pattern: string, name: string): number {
  let row = Array.from({ length: name.length + 1 }, (_, taken) => taken);
  for (const sign of pattern) {
    const isAny = sign === '*';
    const next = [row[0]! + (isAny ? 0 : 1)];
    for (let at = 1; at <= name.length; at++) {
      const fits = isAny || sign === '?' || sign === name[at - 1];
      const changed = row[at - 1]! + (fits ? 0 : 1);
      const leftOut = row[at]! + (isAny ? 0 : 1);
      const putIn = next[at - 1]! + (isAny ? 0 : 1);
      next.push(Math.min(changed, leftOut, putIn));
    }
    row = next;
  }
  return row.at(-1)!;
}
