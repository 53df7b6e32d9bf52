import type { RecordingKind } from '../domain/recording.ts';
import type { DumpEntry, Sidecar } from './dumpEntry.ts';
import { nameKey, splitName } from './fileNames.ts';
import { compareNames, displayPath, type WalkedFile } from './walk.ts';

/** A clip or still by its name and its first bytes. */
export interface FoundRecording {
  readonly walked: WalkedFile;
  readonly kind: RecordingKind;
  readonly sizeBytes: number;
  readonly fingerprint: string;
}

export interface FoundSidecar {
  readonly walked: WalkedFile;
  readonly type: Sidecar['type'];
}

// A clip with the same name beside one at least this much larger is its low-resolution copy (common practice of
// recorders, no source).
const proxySizeRatio = 5;

/** Without the clips that are small copies of the one beside them. */
export function withoutProxies(found: readonly FoundRecording[]): readonly FoundRecording[] {
  const largest = new Map<string, number>();
  for (const one of found.filter(({ kind }) => kind === 'clip')) {
    const key = placeAndStem(one.walked);
    largest.set(key, Math.max(largest.get(key) ?? 0, one.sizeBytes));
  }
  return found.filter(
    (one) => one.kind !== 'clip' || one.sizeBytes * proxySizeRatio > largest.get(placeAndStem(one.walked))!,
  );
}

/**
 * Gives each recording the sidecars beside it that carry its name, with or without its ending, in the order of the
 * recordings' names. Subtitles belong to clips only.
 */
export function pairSidecars(
  found: readonly FoundRecording[],
  sidecars: readonly FoundSidecar[],
): { readonly entries: readonly DumpEntry[]; readonly unpaired: number } {
  const byKey = sidecarsByKey(sidecars);
  const used = new Set<Sidecar>();
  const entries = found
    .toSorted((a, b) => compareNames(a.walked.names, b.walked.names))
    .map(({ walked, kind, sizeBytes, fingerprint }) => {
      const own = [placeAndStem(walked), placeAndName(walked)]
        .flatMap((key) => byKey.get(key) ?? [])
        .filter(({ type }) => type === 'xmp' || kind === 'clip');
      own.forEach((sidecar) => used.add(sidecar));
      const path = displayPath(walked.names);
      return { path, file: walked.file, kind, sizeBytes, fingerprint, sidecars: own };
    });
  return { entries, unpaired: sidecars.length - used.size };
}

function sidecarsByKey(sidecars: readonly FoundSidecar[]): ReadonlyMap<string, readonly Sidecar[]> {
  const byKey = new Map<string, Sidecar[]>();
  for (const { walked, type } of sidecars) {
    const key = placeAndStem(walked);
    const sidecar = { type, path: displayPath(walked.names), file: walked.file };
    byKey.set(key, [...(byKey.get(key) ?? []), sidecar]);
  }
  return byKey;
}

function placeAndStem(walked: WalkedFile): string {
  return place(walked, splitName(nameKey(walked.names.at(-1)!)).stem);
}

function placeAndName(walked: WalkedFile): string {
  return place(walked, nameKey(walked.names.at(-1)!));
}

function place(walked: WalkedFile, name: string): string {
  return [...walked.names.slice(0, -1).map((folder) => folder.toString('latin1')), name].join('/');
}
