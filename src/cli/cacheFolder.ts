import envPaths from 'env-paths';
import type { CacheUse } from '../audit/options.ts';
import { cacheSize } from '../cache/prune.ts';
import { liesInDump } from './outputs.ts';

/** Where measurements are cached. */
function usualCacheFolder(): string {
  return envPaths('halfturn', { suffix: '' }).cache;
}

/** The folder for an audit of this dump; undefined where nothing is to be cached. */
export async function cacheFolderFor(dump: string, flag: boolean | undefined): Promise<string | undefined> {
  if (flag === false) return undefined;
  const folder = usualCacheFolder();
  if (!(await liesInDump(folder, dump))) return folder;
  process.stderr.write(
    `halfturn: The cache folder ${folder} lies inside the dump, where nothing is written. So this audit is not remembered; --no-cache says so at once.\n`,
  );
  return undefined;
}

/** What to say of a cache that could not be written. */
export function cacheTrouble({ trouble }: CacheUse): string | undefined {
  return (
    trouble &&
    `halfturn: Measurements could not be kept for the next audit (${trouble}). This one is whole; --no-cache keeps none.\n`
  );
}

/**
 * What was not done again; undefined where all was.
 *
 * @example cacheUseSentence({ fromCache: 40, total: 44 }) // '40 of 44 files were unchanged since an earlier audit and not measured again.'
 */
export function cacheUseSentence({ fromCache, total }: CacheUse): string | undefined {
  if (fromCache === 0) return undefined;
  const files = total === 1 ? 'The file was' : `All ${total} files were`;
  const some = `${fromCache} of ${total} files ${fromCache === 1 ? 'was' : 'were'}`;
  return `${fromCache === total ? files : some} unchanged since an earlier audit and not measured again.`;
}

/** Where it lies, how large it is, and that it may go. */
export async function cacheSentence(): Promise<string> {
  const folder = usualCacheFolder();
  const { files, sizeBytes } = await cacheSize(folder);
  const holds = files === 0 ? 'nothing yet' : `${(sizeBytes / 1e6).toFixed(1)} MB`;
  return `Measurements are remembered in ${folder} (${holds}); the folder may be deleted at any time`;
}
