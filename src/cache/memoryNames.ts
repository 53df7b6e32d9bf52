/** Endings of the files in a memory's folder: a value, and one that is being written. */
export const memorySuffix = '.measured';
export const partSuffix = '.part';

/** Whether a file in the folder is one of the memory's. Others are never touched. */
export function isMemoryFile(name: string): boolean {
  return /^[0-9a-f]{64}\.measured(?:\.[0-9a-f]{12}\.part)?$/.test(name);
}
