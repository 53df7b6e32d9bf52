import { createHash } from 'node:crypto';
import { fstat, statfs, type BigIntStats } from 'node:fs';
import { posix } from 'node:path';
import { promisify } from 'node:util';
import { openMedia, type OpenMedia } from '../programs/openMedia.ts';
import { fileSource } from './containers/byteSource.ts';
import type { DumpEntry, Sidecar } from './dumpEntry.ts';

// A fingerprint looks at parts of a file, so it cannot prove that the rest is unchanged; a digest of all of it would
// cost a fifth to a third of measuring it, and longer than that from a slow card. The system's own time of the last
// change can: every write sets it, and no program can set it back. It is absent from the file systems of memory cards,
// where it is made up from the time of the last write, which can be set back. There nothing is proven.

/** Text that stays the same only while a recording and its sidecars do; undefined where that cannot be told. */
export async function unchangedMark(
  entry: DumpEntry,
  nowMs: number = Date.now(),
): Promise<string | undefined> {
  if (entry.fingerprint === undefined) return undefined;
  try {
    const file = await opened(entry.file, (media) => fileMark(media, entry.file, nowMs));
    if (file === undefined) return undefined;
    const sidecars: string[] = [];
    for (const sidecar of entry.sidecars) sidecars.push(await opened(sidecar.file, sidecarMark(sidecar)));
    return JSON.stringify([entry.fingerprint, file, ...sidecars]);
  } catch {
    return undefined; // It cannot be read; that is said when it is examined.
  }
}

async function opened<T>(file: Buffer, look: (media: OpenMedia) => T | Promise<T>): Promise<T> {
  const media = await openMedia(file);
  try {
    return await look(media);
  } finally {
    await media.close();
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

function sidecarMark({ type, path }: Sidecar): (media: OpenMedia) => string {
  return (media) => [type, posix.basename(path), contentMark(media)].join(' ');
}

function contentMark(media: OpenMedia): string {
  const bytes = fileSource(media).read(0, mostSidecarBytes);
  return `${media.sizeBytes} ${createHash('sha256').update(bytes).digest('hex')}`;
}

/** Text that sidecars of one content share, whatever their names; undefined where it cannot be read. */
export async function sidecarContent({ file }: Sidecar): Promise<string | undefined> {
  return opened(file, contentMark).catch(() => undefined);
}
