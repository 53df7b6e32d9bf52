import { dcfName } from './dcfName.ts';
import type { DumpEntry } from './dumpEntry.ts';

/** Of several copies of one recording the one with most sidecars stays, the first of those; the others become its copies. */
export function withoutCopies(entries: readonly DumpEntry[]): readonly DumpEntry[] {
  const byContent = new Map<string, DumpEntry[]>();
  for (const entry of entries) {
    // What is not known to be a copy stands for itself.
    const key = `${entry.kind} ${entry.fingerprint ?? entry.path}`;
    byContent.set(key, [...(byContent.get(key) ?? []), entry]);
  }
  const copies = new Map([...byContent.values()].map((alike) => [mostSidecars(alike), alike] as const));
  return entries.flatMap((entry) => {
    const alike = copies.get(entry);
    if (alike === undefined) return [];
    const others = alike.filter((other) => other !== entry).map(({ path }) => path);
    return others.length === 0 ? [entry] : [{ ...entry, copies: others }];
  });
}

function mostSidecars(alike: readonly DumpEntry[]): DumpEntry {
  return alike.reduce((best, entry) => (entry.sidecars.length > best.sidecars.length ? entry : best));
}

/** Marks what lies in a dump with a camera's folders without being one of the camera's files. */
export function markedBesideCard(entries: readonly DumpEntry[]): readonly DumpEntry[] {
  if (!entries.some(({ path }) => isOnCard(path))) return entries;
  return entries.map((entry) => (isOnCard(entry.path) ? entry : { ...entry, isBesideCard: true }));
}

// CIPA DC-009: the folders of cameras lie in one called DCIM.
function isOnCard(path: string): boolean {
  return /(?:^|\/)DCIM\//i.test(path) && dcfName(path) !== undefined;
}
