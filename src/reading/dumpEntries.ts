import { groupedBy } from '../domain/grouping.ts';
import type { RecordingKind } from '../domain/recording.ts';
import { nameParts } from './fileNames.ts';
import { displayPath, type WalkedFile } from './walk.ts';

interface Sidecar {
  readonly type: 'srt' | 'xmp';
  /** For people, relative to the dump. */
  readonly path: string;
  readonly file: Buffer;
}

/** A clip or still in the dump, recognised by its name and by its first bytes. */
export interface DumpEntry {
  /** For people, relative to the dump. */
  readonly path: string;
  readonly file: Buffer;
  readonly kind: RecordingKind;
  readonly sizeBytes: number;
  readonly sidecars: readonly Sidecar[];
  readonly fingerprint?: string;
  /** Paths of copies, which are no entries of their own. */
  readonly copies?: readonly string[];
  /** Set where the dump holds a camera's own folders, and this lies outside them or under a name of another kind. */
  readonly isBesideCard?: true;
}

/** A clip or still by its name and its first bytes. */
interface FoundRecording extends Required<Pick<DumpEntry, 'kind' | 'sizeBytes' | 'fingerprint'>> {
  readonly walked: WalkedFile;
}

interface FoundSidecar {
  readonly walked: WalkedFile;
  readonly type: Sidecar['type'];
}

/**
 * Gives each recording the sidecars beside it that carry its name, with or without its ending. Subtitles belong to clips
 * only. `proxies` and `unpaired` are how many small copies and how many sidecars are left.
 */
export function pairedEntries(
  recordings: readonly FoundRecording[],
  sidecars: readonly FoundSidecar[],
): { readonly entries: readonly DumpEntry[]; readonly proxies: number; readonly unpaired: number } {
  const byStem = groupedBy(sidecars, ({ walked }) => keysOf(walked).stem);
  const paired = new Set<FoundSidecar>();
  const entries = withoutProxies(recordings).map(({ walked, ...recording }) => {
    const { stem, name } = keysOf(walked);
    const own = [stem, name]
      .flatMap((key) => byStem.get(key) ?? [])
      .filter(({ type }) => type === 'xmp' || recording.kind === 'clip');
    own.forEach((sidecar) => paired.add(sidecar));
    const asSidecar = ({ walked: { names, file }, type }: FoundSidecar) => ({
      type,
      path: displayPath(names),
      file,
    });
    return { ...recording, path: displayPath(walked.names), file: walked.file, sidecars: own.map(asSidecar) };
  });
  return { entries, proxies: recordings.length - entries.length, unpaired: sidecars.length - paired.size };
}

// A clip with the same name beside one at least this much larger is its low-resolution copy (common practice of
// recorders, no source).
const proxySizeRatio = 5;

function withoutProxies(recordings: readonly FoundRecording[]): readonly FoundRecording[] {
  const largest = new Map<string, number>();
  for (const { kind, walked, sizeBytes } of recordings) {
    const { stem } = keysOf(walked);
    if (kind === 'clip') largest.set(stem, Math.max(largest.get(stem) ?? 0, sizeBytes));
  }
  return recordings.filter(
    ({ kind, walked, sizeBytes }) =>
      kind !== 'clip' || sizeBytes * proxySizeRatio > largest.get(keysOf(walked).stem)!,
  );
}

/** Texts that files of one folder and one name share, with the name's ending and without. */
function keysOf({ names }: WalkedFile): { readonly name: string; readonly stem: string } {
  const folder = names.slice(0, -1).map((name) => `${name.toString('latin1')}/`);
  const { key, stem } = nameParts(names.at(-1)!);
  return { name: [...folder, key].join(''), stem: [...folder, stem].join('') };
}
