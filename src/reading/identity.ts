import { createHash } from 'node:crypto';
import { fstat, statfs, type BigIntStats } from 'node:fs';
import { posix } from 'node:path';
import { promisify } from 'node:util';
import { groupedBy } from '../domain/grouping.ts';
import type { OpenMedia } from '../programs/openMedia.ts';
import { fileSource, type ByteSource } from '../containers/byteSource.ts';
import type { DumpEntry } from './dumpEntries.ts';
import { withFile } from './openFile.ts';

// A fingerprint looks at parts of a file, so it cannot prove that the rest is unchanged; a digest of all of it would
// cost a fifth to a third of measuring it, and longer than that from a slow card. The system's own time of the last
// change can: every write sets it, and no program can set it back. It is absent from the file systems of memory cards,
// where it is made up from the time of the last write, which can be set back. There nothing is proven.

/**
 * Text that stays the same only while a recording, its sidecars and its low-resolution copy do; undefined where that cannot
 * be told.
 */
export async function unchangedMark(
  entry: DumpEntry,
  nowMs: number = Date.now(),
): Promise<string | undefined> {
  if (entry.fingerprint === undefined) return undefined;
  try {
    const file = await withFile(entry.file, (media) => fileMark(media, entry.file, nowMs));
    if (file === undefined) return undefined;
    const sidecars: string[] = [];
    for (const { type, path, file: sidecar } of entry.sidecars)
      sidecars.push(`${type} ${posix.basename(path)} ${await withFile(sidecar, contentMark)}`);
    const copy = entry.lowResolutionCopy;
    const mark =
      copy && (await withFile(copy, (media) => fileMark(media, copy, nowMs)).catch(() => 'unread'));
    if (copy !== undefined && mark === undefined) return undefined;
    return JSON.stringify([entry.fingerprint, file, mark, ...sidecars]);
  } catch {
    return undefined; // It cannot be read; that is said when it is examined.
  }
}

const fstatExactly = promisify(fstat) as unknown as (
  fd: number,
  how: { bigint: true },
) => Promise<BigIntStats>;

async function fileMark(media: OpenMedia, file: Buffer, nowMs: number): Promise<string | undefined> {
  const stats = await fstatExactly(media.fd, { bigint: true });
  const { ino, size, mtimeNs, ctimeNs } = stats;
  const proven = provesUnchanged(stats, nowMs) && (ctimeNs > mtimeNs || (await keepsChangeTime(file)));
  // Not the device: its number changes each time that a disk is attached.
  return proven ? [ino, size, mtimeNs, ctimeNs].join(' ') : undefined;
}

// Two writes within one step of the clock leave the same time; the coarsest clock in use counts seconds.
const clockStepNs = 2_000_000_000n;

/** Whether the times of a file can show a later change of it. A change time before the last write was made up. */
export function provesUnchanged(
  { mtimeNs, ctimeNs }: Pick<BigIntStats, 'mtimeNs' | 'ctimeNs'>,
  nowMs: number,
): boolean {
  return ctimeNs > 0n && ctimeNs >= mtimeNs && ctimeNs + clockStepNs < BigInt(Math.floor(nowMs)) * 1_000_000n;
}

// Magic numbers of Linux (statfs(2)): ext2 to ext4, XFS, Btrfs, F2FS, tmpfs, overlayfs.
const keepingChangeTime = new Set([0xef53, 0x58465342, 0x9123683e, 0xf2f52010, 0x01021994, 0x794c7630]);

/** Asked only where both times are the same, which proves nothing of the file system. */
async function keepsChangeTime(file: Buffer): Promise<boolean> {
  if (process.platform !== 'linux') return false;
  return keepingChangeTime.has((await promisify(statfs)(file)).type >>> 0);
}

// What is read of the longest sidecar, and a byte to tell that there is more.
const mostSidecarBytes = (32 << 20) + 1;

function contentMark(media: OpenMedia): string {
  const bytes = fileSource(media).read(0, mostSidecarBytes);
  return `${media.sizeBytes} ${createHash('sha256').update(bytes).digest('hex')}`;
}

// The first part of a recording holds its time or its first pictures, the last the index or the last pictures: two
// recordings that are not copies do not share all three and their length to the byte.
const partBytes = 16_384;

/** Hex digits that two copies of one recording share: of its length and of its first, middle and last 16 KiB. */
export function fingerprint(source: ByteSource): string {
  const { sizeBytes } = source;
  const hash = createHash('sha256').update(`${sizeBytes}\n`);
  const parts =
    sizeBytes <= 3 * partBytes ? [0] : [0, Math.floor((sizeBytes - partBytes) / 2), sizeBytes - partBytes];
  const length = parts.length === 1 ? sizeBytes : partBytes;
  for (const at of parts) hash.update(source.read(at, length));
  return hash.digest('hex').slice(0, 32);
}

/**
 * Of several copies of one recording the one with most sidecars stays, the first of those; the others become its copies.
 * One that has a sidecar that the other lacks, or another text in it, is no copy: telemetry beside two clips tells them
 * apart.
 */
export async function withoutCopies(entries: readonly DumpEntry[]): Promise<readonly DumpEntry[]> {
  // What is not known to be a copy stands for itself.
  const byContent = groupedBy(entries, (entry) => `${entry.kind} ${entry.fingerprint ?? entry.path}`);
  const copies = new Map<DumpEntry, readonly DumpEntry[]>();
  for (const alike of byContent.values())
    for (const [first, ...others] of await sameSidecars(alike)) copies.set(first, others);
  return entries.flatMap((entry) => {
    const others = copies.get(entry);
    if (others === undefined) return [];
    return others.length === 0 ? [entry] : [{ ...entry, copies: others.map(({ path }) => path) }];
  });
}

type Copies = [DumpEntry, ...DumpEntry[]];

/** Puts recordings of one content together where the first has all sidecars of the others. */
async function sameSidecars(alike: readonly DumpEntry[]): Promise<readonly Copies[]> {
  if (alike.length === 1) return [[alike[0]!]];
  const groups: { readonly contents: ReadonlySet<string>; readonly entries: Copies }[] = [];
  // The sort is stable: of equals the first stays first.
  for (const entry of alike.toSorted((a, b) => b.sidecars.length - a.sidecars.length)) {
    const contents = new Set(await Promise.all(entry.sidecars.map(sidecarContent)));
    const group = groups.find((other) => [...contents].every((content) => other.contents.has(content)));
    if (group === undefined) groups.push({ contents, entries: [entry] });
    else group.entries.push(entry);
  }
  return groups.map(({ entries }) => entries);
}

/** Text that sidecars of one content share, whatever their names; what cannot be read is equal to nothing but itself. */
async function sidecarContent({ type, file, path }: DumpEntry['sidecars'][number]): Promise<string> {
  return `${type} ${await withFile(file, contentMark).catch(() => path)}`;
}
