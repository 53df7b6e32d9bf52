import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { describe, expect, it } from 'vitest';
import { isLocal, parseMountTable, searchCards } from '../../../src/cli/cards/search.ts';

// The fields are those of proc(5), Linux man-pages 6.03, /proc/pid/mountinfo; the first line is its own example.
const table = String.raw`
36 35 98:0 /mnt1 /mnt2 rw,noatime master:1 - ext3 /dev/root rw,errors=continue
21 1 259:2 / / rw,relatime shared:1 - ext4 /dev/nvme0n1p2 rw
22 21 0:20 / /proc rw,nosuid shared:13 - proc proc rw
23 21 259:1 / /boot/efi rw,relatime shared:30 - vfat /dev/nvme0n1p1 rw,fmask=0077
90 21 0:45 / /run/user/1000/gvfs rw,nosuid shared:500 - fuse.gvfsd-fuse gvfsd-fuse rw,user_id=1000
91 21 8:17 / /media/pilot/CARD\040A rw,nosuid,nodev shared:510 - exfat /dev/sdb1 rw,uid=1000
92 21 8:33 / /media/pilot/back\134slash\011tab rw shared:511 master:3 propagate_from:2 - fuseblk /dev/sdc1 rw
93 21 8:17 / /srv/bound rw shared:510 - exfat /dev/sdb1 rw,uid=1000
94 21 8:17 /DCIM /srv/pictures rw shared:510 - exfat /dev/sdb1 rw,uid=1000
95 21 0:50 / /mnt/nas rw shared:520 - nfs4 nas:/export rw,vers=4.2
96 21 0:51 / /mnt/share rw - cifs //nas/share rw
97 21 0:52 / /mnt/far rw - fuse.sshfs far:/ rw
98 21 0:53 / /mnt/auto rw - autofs systemd-1 rw,fd=50
99 21 8:49 / /mnt/hidden rw - vfat /dev/sdd1 rw
100 99 0:54 / /mnt/hidden rw - nfs old:/export rw
101 21 8:65 / /mnt/a#b rw - vfat /dev/sde1 rw
this line is none`;

const mounts = parseMountTable(table);

describe('parseMountTable()', () => {
  it('reads mount point and file system, whatever number of tags stands between', () => {
    expect(mounts).toHaveLength(16);
    expect(mounts[0]).toEqual({ folder: '/mnt2', fileSystem: 'ext3', content: '98:0 /mnt1' });
    expect(mounts.find(({ folder }) => folder === '/mnt/share')?.fileSystem).toBe('cifs');
  });

  it('takes octal digits for the space, the tab and the backslash that they stand for', () => {
    expect(mounts.map(({ folder }) => folder)).toContain('/media/pilot/CARD A');
    expect(mounts.map(({ folder }) => folder)).toContain('/media/pilot/back\\slash\ttab');
  });
});

describe('isLocal()', () => {
  it.each([
    '/mnt/nas',
    '/mnt/nas/deep/below',
    '/mnt/share',
    '/mnt/far',
    '/mnt/auto',
    '/proc/1',
    '/mnt/hidden',
  ])('is false of %s, where asking might wait for ever or is of no use', (folder) =>
    expect(isLocal(folder, mounts)).toBe(false),
  );

  it.each(['/', '/media', '/media/pilot/CARD A', '/mnt', '/mnt/nasty', '/mnt/a#b'])(
    'is true of %s',
    (folder) => expect(isLocal(folder, mounts)).toBe(true),
  );

  it('is false where the table does not say', () => {
    expect(isLocal('/media', [])).toBe(false);
  });
});

describe('searchCards()', () => {
  it('looks into what is local, but neither the root nor what another mount covers, and a bind mount once', async () => {
    const folder = mkdtempSync(path.join(tmpdir(), 'halfturn-mounts-'));
    const mountTable = path.join(folder, 'mountinfo');
    writeFileSync(mountTable, table);
    const lookedInto = new Set<string>();
    await searchCards({ volumes: [], parents: [], mountTable, wallMs: 1 }, (looked) =>
      lookedInto.add(looked.folder),
    );
    rmSync(folder, { recursive: true });
    expect([...lookedInto]).toEqual([
      '/mnt2',
      '/boot/efi',
      '/media/pilot/CARD A',
      '/media/pilot/back\\slash\ttab',
      '/srv/pictures',
      '/mnt/a#b',
    ]);
  });
});
