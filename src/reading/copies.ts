import { dcfName } from './dcfName.ts';
import type { DumpEntry, Sidecar } from './dumpEntry.ts';
import { sidecarContent } from './identity.ts';

/**
 * Of several copies of one recording the one with most sidecars stays, the first of those; the others become its copies.
 * One that has a sidecar that the other lacks, or another text in it, is no copy: telemetry beside two clips tells them
 * apart.
 */
export async function withoutCopies(entries: readonly DumpEntry[]): Promise<readonly DumpEntry[]> {
  const byContent = new Map<string, DumpEntry[]>();
  for (const entry of entries) {
    // What is not known to be a copy stands for itself.
    const key = `${entry.kind} ${entry.fingerprint ?? entry.path}`;
    byContent.set(key, [...(byContent.get(key) ?? []), entry]);
  }
  const copies = new Map<DumpEntry, readonly DumpEntry[]>();
  for (const alike of byContent.values())
    for (const [first, ...others] of await sameSidecars(alike)) copies.set(first, others);
  return entries.flatMap((entry) => {
    const others = copies.get(entry);
    if (others === undefined) return [];
    return others.length === 0 ? [entry] : [{ ...entry, copies: others.map(({ path }) => path) }];
  });
}

type Copies = readonly [DumpEntry, ...DumpEntry[]];

/** Puts recordings of one content together where the first has all sidecars of the others. */
async function sameSidecars(alike: readonly DumpEntry[]): Promise<readonly Copies[]> {
  const [only] = alike;
  if (only === undefined || alike.length === 1) return only === undefined ? [] : [[only]];
  const groups: { readonly contents: ReadonlySet<string>; readonly entries: [DumpEntry, ...DumpEntry[]] }[] =
    [];
  // The sort is stable: of equals the first stays first.
  for (const entry of alike.toSorted((a, b) => b.sidecars.length - a.sidecars.length)) {
    const contents = new Set(await Promise.all(entry.sidecars.map(contentOf)));
    const group = groups.find((one) => [...contents].every((content) => one.contents.has(content)));
    if (group === undefined) groups.push({ contents, entries: [entry] });
    else group.entries.push(entry);
  }
  return groups.map((group) => group.entries);
}

/** What cannot be read is equal to nothing but itself. */
async function contentOf(sidecar: Sidecar): Promise<string> {
  return `${sidecar.type} ${(await sidecarContent(sidecar)) ?? sidecar.path}`;
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
