/**
 * The order of paths folder by folder, the numbers in their names by value, the same on every system.
 *
 * @returns < 0 where `a` stands first, > 0 where `b` does, else 0
 * @example comparePaths('B/CLIP2.MP4', 'B/CLIP10.MP4') // -1
 */
export function comparePaths(a: string, b: string): number {
  return compareNumbered(folderOf(a), folderOf(b)) || compareNumbered(a, b) || compareText(a, b);
}

/** The path up to and with its last "/"; empty where it has none. */
function folderOf(path: string): string {
  return path.slice(0, path.lastIndexOf('/') + 1);
}

function compareNumbered(a: string, b: string): number {
  const [parts, others] = [partsOf(a), partsOf(b)];
  const at = parts.findIndex((part, place) => compareParts(part, others[place]) !== 0);
  return at < 0 ? parts.length - others.length : compareParts(parts[at]!, others[at]);
}

function partsOf(text: string): readonly string[] {
  return text.match(/\d+|\D+/g) ?? [];
}

function compareParts(a: string, b = ''): number {
  if (![a, b].every((part) => /^\d+$/.test(part))) return compareText(a, b);
  // As text, because a name may hold more digits than a number.
  const [number, other] = [withoutZeros(a), withoutZeros(b)];
  return number.length - other.length || compareText(number, other);
}

function withoutZeros(digits: string): string {
  return digits.replace(/^0+/, '');
}

/**
 * The order of texts by their code units, the same on every system and in every language.
 *
 * @returns < 0 where `a` stands first, > 0 where `b` does, else 0
 * @example compareText('B', 'a') // -1
 */
export function compareText(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}
