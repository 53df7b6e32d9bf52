import { groupedBy } from '../domain/grouping.ts';
import type { RecordingKind } from '../domain/recording.ts';
import { copiedStem, folderLeftAside, nameParts } from './fileNames.ts';
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
  /** The small copy that the camera wrote of this clip, where there is exactly one. Nothing was looked at but its name. */
  readonly lowResolutionCopy?: Buffer;
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
 * Gives each recording the sidecars beside it that carry its name, with or without its ending, and each clip its
 * low-resolution copy. Subtitles belong to clips only. `proxies` and `unpaired` are how many small copies among the
 * recordings and how many sidecars are left.
 *
 * @param files all that there are, among them low-resolution copies by their name or folder
 */
export function pairedEntries(
  recordings: readonly FoundRecording[],
  sidecars: readonly FoundSidecar[],
  files: readonly WalkedFile[],
): { readonly entries: readonly DumpEntry[]; readonly proxies: number; readonly unpaired: number } {
  const byStem = groupedBy(sidecars, ({ walked }) => keysOf(walked).stem);
  const paired = new Set<FoundSidecar>();
  const { originals, copies } = withoutProxies(recordings);
  const copyOf = lowResolutionCopies(originals, copies, files);
  const entries = originals.map(({ walked, ...recording }) => {
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
    return {
      ...recording,
      path: displayPath(walked.names),
      file: walked.file,
      sidecars: own.map(asSidecar),
      lowResolutionCopy: recording.kind === 'clip' ? copyOf.get(stem) : undefined,
    };
  });
  return { entries, proxies: copies.length, unpaired: sidecars.length - paired.size };
}

// A clip with the same name beside one at least this much larger is its low-resolution copy (common practice of
// recorders, no source).
const proxySizeRatio = 5;

/** Without the clips that are small copies of the one beside them, and those. */
function withoutProxies(recordings: readonly FoundRecording[]) {
  const largest = new Map<string, number>();
  for (const { kind, walked, sizeBytes } of recordings) {
    const { stem } = keysOf(walked);
    if (kind === 'clip') largest.set(stem, Math.max(largest.get(stem) ?? 0, sizeBytes));
  }
  const isCopy = ({ kind, walked, sizeBytes }: FoundRecording): boolean =>
    kind === 'clip' && sizeBytes * proxySizeRatio <= largest.get(keysOf(walked).stem)!;
  return {
    originals: recordings.filter((recording) => !isCopy(recording)),
    copies: recordings.filter(isCopy).map(({ walked }) => walked),
  };
}

/** By the stems of clips: a copy that could be of two clips, or one of two that could be of a clip, is of none. */
function lowResolutionCopies(
  originals: readonly FoundRecording[],
  copies: readonly WalkedFile[],
  files: readonly WalkedFile[],
): ReadonlyMap<string, Buffer> {
  const clips = groupedBy(
    originals.filter(({ kind }) => kind === 'clip'),
    ({ walked }) => keysOf(walked).stem,
  );
  const bySize = new Set(copies);
  const stemOf = (file: WalkedFile) => (bySize.has(file) ? keysOf(file).stem : copiedKey(file));
  const named = files.filter((file) => file.what === 'file' && !bySize.has(file));
  const byStem = groupedBy([...copies, ...named], stemOf);
  return new Map(
    [...byStem].flatMap(([stem, [copy, ...more]]) =>
      stem !== undefined && more.length === 0 && clips.get(stem)?.length === 1
        ? [[stem, copy!.file] as const]
        : [],
    ),
  );
}

/** The stem, as keysOf() has it, of the clip that a file says to be a low-resolution copy of. */
function copiedKey({ names }: WalkedFile): string | undefined {
  const folder = names.at(-2);
  const isInCopies = folder !== undefined && folderLeftAside(folder) === 'proxies';
  const stem = copiedStem(names.at(-1)!, isInCopies);
  return stem && folderKey(names.slice(0, isInCopies ? -2 : -1)) + stem;
}

/** Texts that files of one folder and one name share, with the name's ending and without. */
function keysOf({ names }: WalkedFile): { readonly name: string; readonly stem: string } {
  const folder = folderKey(names.slice(0, -1));
  const { key, stem } = nameParts(names.at(-1)!);
  return { name: folder + key, stem: folder + stem };
}

function folderKey(folders: readonly Buffer[]): string {
  return folders.map((name) => `${name.toString('latin1')}/`).join('');
}
