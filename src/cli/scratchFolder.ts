import { tmpdir } from 'node:os';
import { liesInDump } from './outputs.ts';

/** Where things may wait in a file while this dump is audited; undefined where that folder lies in the dump itself. */
export async function scratchFolderFor(dump: string): Promise<string | undefined> {
  const folder = tmpdir();
  return (await liesInDump(folder, dump)) ? undefined : folder;
}
