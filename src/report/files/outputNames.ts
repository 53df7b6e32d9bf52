import { displayText } from '../../domain/displayText.ts';

/** What file systems in common use allow in one name, less what the suffix and a temporary name need. */
const mostNameBytes = 200;
// What a name may not hold on one system or another; a report travels.
const unfit = /[<>:"|?*\\]/g;
/** Names that one system keeps for its devices, whatever follows the dot. */
const device = /^(?:con|prn|aux|nul|com\d|lpt\d)(?=\.|$)/i;

/**
 * Paths below a folder for files that belong to recordings. Whatever a path holds (it may come from a report that
 * somebody sent), the result stays below the folder, fits every file system, and no two are the same.
 * @example outputNames(['../A.MP4', 'B/C?.MP4'], '.xmp') // ['_/A.MP4.xmp', 'B/C_.MP4.xmp']
 */
export function outputNames(paths: readonly string[], suffix: string): readonly string[] {
  const taken = new Set<string>();
  return paths.map((path) => {
    const safe = path
      .split('/')
      .filter((part) => part !== '')
      .map(safePart)
      .join('/');
    const base = safe === '' ? '_' : safe;
    // Some file systems do not tell capital letters from small ones.
    for (let number = 1; ; number++) {
      const name = `${base}${number === 1 ? '' : `~${number}`}${suffix}`;
      if (taken.has(name.toLowerCase())) continue;
      taken.add(name.toLowerCase());
      return name;
    }
  });
}

function safePart(part: string): string {
  const clean = displayText(part)
    .replace(unfit, '_')
    .replace(/[. ]+$/, '_')
    .replace(device, '$&_');
  return /^\.*$/.test(clean) || clean === '' ? '_' : shortened(clean);
}

function shortened(name: string): string {
  let characters = Array.from(name);
  const bytes = () => new TextEncoder().encode(characters.join('')).length;
  while (bytes() > mostNameBytes) {
    const middle = Math.floor(characters.length / 2);
    characters = [...characters.slice(0, middle - 1), ...characters.slice(middle)];
  }
  return characters.join('');
}
