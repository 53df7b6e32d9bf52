/** One line of /proc/self/mountinfo, as proc(5) of the Linux man pages describes it. */
export interface Mount {
  readonly folder: string;
  readonly fileSystem: string;
  /** The same for two mounts that show the same content, as bind mounts do. */
  readonly content: string;
}

// id, parent, device, root in the device, mount point, options, any number of tags, "-", type, source, more options
const line = /^\d+ \d+ (\d+:\d+) (\S+) (\S+) \S+(?: \S+)* - (\S+) /;

/** Reads the mount table; lines that are none are left out. */
export function parseMountTable(text: string): readonly Mount[] {
  return text.split('\n').flatMap((row) => {
    const [, device, root, folder, fileSystem] = line.exec(row) ?? [];
    if (folder === undefined || fileSystem === undefined) return [];
    return [{ folder: unescaped(folder), fileSystem, content: `${device} ${root}` }];
  });
}

/** Space, tab, line break, backslash and "#" stand there as three octal digits. */
function unescaped(field: string): string {
  return field.replace(/\\([0-7]{3})/g, (_, digits: string) => String.fromCharCode(parseInt(digits, 8)));
}

// What a card, a disk or the memory of this machine carries. A network that has gone makes whoever asks wait for ever,
// and a pseudo file system holds no card; so what is not named here is not looked into.
const localFileSystems = new Set(
  'vfat msdos exfat ntfs ntfs3 fuseblk hfs hfsplus apfs udf iso9660 ext2 ext3 ext4 xfs btrfs f2fs zfs overlay tmpfs'.split(
    ' ',
  ),
);

/** Whether looking into the folder ends in good time: what it lies on, and all that hides beneath it, is local. */
export function isLocal(folder: string, mounts: readonly Mount[]): boolean {
  const mount = mountOf(folder, mounts);
  return mount !== undefined && localFileSystems.has(mount.fileSystem);
}

/** The mount that a folder lies on: the nearest above it, and of those at one place the last, which covers the others. */
export function mountOf(folder: string, mounts: readonly Mount[]): Mount | undefined {
  let nearest: Mount | undefined;
  for (const mount of mounts)
    if (lies(folder, mount.folder) && mount.folder.length >= (nearest?.folder.length ?? 0)) nearest = mount;
  return nearest;
}

function lies(folder: string, under: string): boolean {
  return folder === under || folder.startsWith(under.endsWith('/') ? under : `${under}/`);
}

/** The folders of mounts that may be cards, each content once. The system's own root is none. */
export function mountedVolumes(mounts: readonly Mount[]): readonly string[] {
  const contents = new Set<string>();
  return mounts.flatMap((mount) => {
    const isCovered = mountOf(mount.folder, mounts) !== mount;
    if (mount.folder === '/' || isCovered || !isLocal(mount.folder, mounts)) return [];
    if (contents.has(mount.content)) return [];
    contents.add(mount.content);
    return [mount.folder];
  });
}
