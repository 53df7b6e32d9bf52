import { dcfName } from './dcfName.ts';

/** What is asked of a file in the dump. */
interface Listed {
  readonly path: string;
  readonly kind: string;
  readonly fingerprint?: string;
  readonly sidecars: readonly unknown[];
}

/** Of several copies of one recording the one with most sidecars stays, the first of those; the others become its copies. */
export function withoutCopies<E extends Listed>(
  entries: readonly E[],
): readonly (E & { readonly copies?: readonly string[] })[] {
  const byContent = new Map<string, E[]>();
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

function mostSidecars<E extends Listed>(alike: readonly E[]): E {
  return alike.reduce((best, entry) => (entry.sidecars.length > best.sidecars.length ? entry : best));
}

/** Marks what lies in a dump with a camera's folders without being one of the camera's files. */
export function besideCard<E extends Listed>(
  entries: readonly E[],
): (entry: E) => E & { readonly isBesideCard?: true } {
  const hasCard = entries.some(({ path }) => isOnCard(path));
  return (entry) => (hasCard && !isOnCard(entry.path) ? { ...entry, isBesideCard: true } : entry);
}

// CIPA DC-009: the folders of cameras lie in one called DCIM.
function isOnCard(path: string): boolean {
  return /(?:^|\/)DCIM\//i.test(path) && dcfName(path) !== undefined;
}
