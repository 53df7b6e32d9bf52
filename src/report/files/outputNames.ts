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

/**
 * The same for files that belong beside recordings. Some programs look for one by the whole name of a recording, others
 * by its name without the ending: each gets both, but where two recordings would share the second.
 * @example sidecarNames(['A.MP4', 'B.JPG', 'B.DNG'], '.xmp') // [['A.MP4.xmp', 'A.xmp'], ['B.JPG.xmp'], ['B.DNG.xmp']]
 */
export function sidecarNames(paths: readonly string[], suffix: string): readonly (readonly string[])[] {
  const byWholeName = outputNames(paths, suffix);
  const byBaseName = byWholeName.map((name) => name.slice(0, -suffix.length).replace(ending, '') + suffix);
  const counts = new Map<string, number>();
  for (const name of [...byWholeName, ...byBaseName].map((each) => each.toLowerCase()))
    counts.set(name, (counts.get(name) ?? 0) + 1);
  return byWholeName.map((name, at) => {
    const short = byBaseName[at]!;
    return counts.get(short.toLowerCase()) === 1 ? [name, short] : [name];
  });
}

const ending = /(?<=[^/])\.[^./]+$/;

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
