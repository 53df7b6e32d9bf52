import type { Problem } from '../domain/recording.ts';
import { mapWithLimit } from '../programs/concurrency.ts';
import { markedBesideCard, withoutCopies } from './copies.ts';
import type { DumpEntry } from './dumpEntry.ts';
import { classifyName, nameKey } from './fileNames.ts';
import type { LeftAside } from './fileNames.ts';
import { looksLike } from './looksLike.ts';
import { pairSidecars, withoutProxies } from './pairing.ts';
import type { FoundRecording, FoundSidecar } from './pairing.ts';
import type { Walk, WalkedFile } from './walk.ts';

export interface Dump {
  readonly entries: readonly DumpEntry[];
  readonly problems: readonly Problem[];
  readonly leftAside: Readonly<Partial<Record<LeftAside, number>>>;
  /** Set where one file was named: what lies beside it is another matter. */
  readonly isOneFile?: true;
}

/** What of the files that were found can be audited, and what was left alone and why. */
export async function dumpOf(walked: Walk): Promise<Dump> {
  const sorted = await mapWithLimit(walked.files, openAtOnce, sortedFile);
  const found = sorted.flatMap(({ recording }) => recording ?? []);
  const recordings = withoutProxies(found);
  const paired = pairSidecars(
    recordings,
    sorted.flatMap(({ sidecar }) => sidecar ?? []),
  );
  const entries = await withoutCopies(paired.entries);
  return {
    entries: markedBesideCard(entries),
    problems: [...walked.problems, ...sorted.flatMap(({ problem }) => problem ?? [])],
    leftAside: counted([
      ...walked.foldersLeftAside,
      ...sorted.flatMap(({ leftAside }) => leftAside ?? []),
      ...repeated('proxies', found.length - recordings.length),
      ...repeated('duplicates', paired.entries.length - entries.length),
      ...repeated('unpaired-sidecars', paired.unpaired),
    ]),
  };
}

// Opening a file waits for the disk, and a card holds thousands; each takes a descriptor for as long.
const openAtOnce = 16;

/** What became of one file: exactly one of these. */
interface Sorted {
  readonly recording?: FoundRecording;
  readonly sidecar?: FoundSidecar;
  readonly leftAside?: LeftAside;
  readonly problem?: Problem;
}

async function sortedFile(walked: WalkedFile): Promise<Sorted> {
  const named = classifyName(nameKey(walked.names.at(-1)!));
  const isLink = walked.what === 'link';
  if (named.is === 'left-aside')
    return { leftAside: named.reason === 'other' && isLink ? 'links' : named.reason };
  if (named.is === 'sidecar') {
    if (walked.what === 'file') return { sidecar: { walked, type: named.type } };
    return { leftAside: isLink ? 'links' : 'other' };
  }
  const looked = await looksLike(walked, named.is);
  if ('sizeBytes' in looked) return { recording: { walked, kind: named.is, ...looked } };
  return 'leftAside' in looked ? looked : { problem: looked };
}

function repeated(reason: LeftAside, times: number): readonly LeftAside[] {
  return Array.from({ length: times }, () => reason);
}

function counted(reasons: readonly LeftAside[]): Dump['leftAside'] {
  const counts = new Map<LeftAside, number>();
  for (const reason of reasons) counts.set(reason, (counts.get(reason) ?? 0) + 1);
  return Object.fromEntries(counts);
}
