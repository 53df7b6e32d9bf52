import { spawnSync } from 'node:child_process';
import { mkdirSync } from 'node:fs';
import type { HostileCase, HostileMaker, Materials } from './cases.ts';
import { printable } from './files.ts';
import { goodNeighbours, makeMaterials, remarked } from './goodNeighbours.ts';
import { heifCases } from './heif.ts';
import { isoMediaCases } from './isoMedia.ts';
import { jpegCases } from './jpeg.ts';
import { nameCases } from './names.ts';
import { pngCases } from './png.ts';
import { streamCases } from './streams.ts';
import { tiffCases } from './tiff.ts';
import { treeCases } from './tree.ts';
import { xmlCases } from './xml.ts';

const families = {
  good: goodNeighbours,
  names: nameCases,
  jpeg: jpegCases,
  tiff: tiffCases,
  png: pngCases,
  heif: heifCases,
  xml: xmlCases,
  isoMedia: isoMediaCases,
  streams: streamCases,
  tree: treeCases,
} as const;

type HostileFamily = keyof typeof families;

const hostileFamilies = Object.keys(families) as readonly HostileFamily[];

/**
 * Makes the cases of some families (of all, unless said) and gives back those that the file system let us make: one
 * that keeps names as text refuses names that are not UTF-8.
 */
export async function buildHostile(
  folder: string,
  chosen: readonly HostileFamily[] = hostileFamilies,
): Promise<readonly HostileCase[]> {
  mkdirSync(folder, { recursive: true });
  const materials = await makeMaterials();
  return chosen
    .flatMap((family) => families[family])
    .flatMap((maker) => makeCase(folder, maker, materials) ?? []);
}

function makeCase(folder: string, maker: HostileMaker, materials: Materials): HostileCase | undefined {
  const { at, make, ...described } = maker;
  const path = Buffer.from(at as string);
  const whole = Buffer.concat([Buffer.from(`${folder}/`), path]);
  try {
    mkdirSync(whole.subarray(0, whole.lastIndexOf('/')), { recursive: true });
    make(whole, remarked(materials, path));
  } catch (error) {
    if (isRefusedName(error)) return undefined;
    throw new Error(`${printable(path)} could not be made`, { cause: error });
  }
  return { name: printable(path), path, ...described };
}

function isRefusedName(error: unknown): boolean {
  return ['EILSEQ', 'EINVAL'].includes((error as NodeJS.ErrnoException).code ?? '');
}

/** Removes what was built. Some of its paths are too long for Node to name, so the system's own tool does it. */
export function removeHostile(folder: string): void {
  spawnSync('rm', ['-rf', '--', folder]);
}
