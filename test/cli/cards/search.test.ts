import { mkdirSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { afterEach, describe, expect, it } from 'vitest';
import { foundCards } from '../../../src/cli/cards/dumpOrCard.ts';
import { usualCardPlaces, searchCards, type CardPlaces, type Looked } from '../../../src/cli/cards/search.ts';
import { madeUpVolumes } from './volumes.ts';

const roots: string[] = [];
afterEach(() => roots.splice(0).forEach((root) => rmSync(root, { recursive: true, force: true })));

function made(volumes: Readonly<Record<string, readonly string[]>>) {
  const one = madeUpVolumes(volumes);
  roots.push(one.root);
  return one;
}

async function search(places: CardPlaces): Promise<ReturnType<typeof foundCards>> {
  const looks: Looked[] = [];
  await searchCards(places, (looked) => looks.push(looked));
  return foundCards(looks);
}

async function foldersFound(root: string, places: CardPlaces): Promise<readonly string[]> {
  return (await search(places)).cards.map(({ folder }) => path.relative(root, folder));
}

describe('searchCards()', () => {
  it('finds volumes with a DCIM folder one and two levels down, and counts clips and stills by their names', async () => {
    const { root, places } = made({
      'pilot/CARD A': [
        'DCIM/100_AERO/CLIP0001.MP4',
        'DCIM/100_AERO/CLIP0001.SRT',
        'DCIM/101_AERO/AERO0002.JPG',
      ],
      'pilot/STICK': ['letters/one.txt'],
      CARD_B: ['dcim/100_AERO/CLIP0001.MOV'],
    });
    const { cards, silent } = await search(places);
    expect(cards.map(({ folder, recordings }) => [path.relative(root, folder), recordings])).toEqual([
      ['CARD_B', 1],
      ['pilot/CARD A', 2],
    ]);
    expect(cards[0]?.sizeBytes).toBeGreaterThan(0);
    expect(silent).toEqual([]);
  });

  it('takes no file for the folder DCIM, and follows no link', async () => {
    const { root, places } = made({ 'pilot/STICK': ['DCIM'], 'pilot/CARD': ['DCIM/100_AERO/CLIP0001.MP4'] });
    symlinkSync(path.join(root, 'pilot', 'CARD'), path.join(root, 'pilot', 'again'));
    mkdirSync(path.join(root, 'pilot', 'half'));
    symlinkSync(path.join(root, 'pilot', 'CARD', 'DCIM'), path.join(root, 'pilot', 'half', 'DCIM'));
    expect(await foldersFound(root, places)).toEqual(['pilot/CARD']);
  });

  it('does not touch what the mount table calls a network, and looks into what it calls local', async () => {
    const { root, places } = made({
      near: ['DCIM/100_AERO/CLIP0001.MP4'],
      far: ['DCIM/100_AERO/CLIP0001.MP4'],
      elsewhere: ['DCIM/100_AERO/CLIP0001.MP4'],
    });
    const mountTable = path.join(root, 'mountinfo');
    const under = (name: string): string => path.join(root, name);
    writeFileSync(
      mountTable,
      [
        '21 1 8:1 / / rw - ext4 /dev/sda1 rw',
        `22 21 8:17 / ${under('near')} rw - vfat /dev/sdb1 rw`,
        `23 21 0:50 / ${under('far')} rw - nfs4 nas:/export rw`,
        `24 21 8:33 / ${under('elsewhere')} rw - exfat /dev/sdc1 rw`,
      ].join('\n'),
    );
    expect(await foldersFound(root, { ...places, mountTable })).toEqual(['elsewhere', 'near']);
    expect(await foldersFound(root, { ...places, parents: [], mountTable })).toEqual(['elsewhere', 'near']);
  });

  it('lists one that is mounted twice once', async () => {
    const { root, places } = made({
      first: ['DCIM/100_AERO/CLIP0001.MP4'],
      second: ['DCIM/100_AERO/CLIP0001.MP4'],
    });
    const mountTable = path.join(root, 'mountinfo');
    writeFileSync(
      mountTable,
      ['/', '/first', '/second']
        .map(
          (at, i) =>
            `${i + 1} 1 ${i === 0 ? '8:1' : '8:17'} / ${at === '/' ? '/' : root + at} rw - vfat /dev/x rw`,
        )
        .join('\n'),
    );
    expect(await foldersFound(root, { ...places, mountTable })).toEqual(['first']);
  });

  it('finds nothing where there are no such places', async () => {
    const places = {
      volumes: ['/nowhere/at/all'],
      parents: [{ folder: '/nor/here', levels: 1 }],
      wallMs: 1,
    } as const;
    expect(await search(places)).toEqual({ cards: [], silent: [] });
  });
});

describe('foundCards()', () => {
  it('names what was asked and did not answer', () => {
    const card = { folder: '/b', recordings: 3 };
    expect(
      foundCards([
        { folder: '/a' },
        { folder: '/b' },
        { folder: '/b', card },
        { folder: '/c' },
        { folder: '/c', card: false },
      ]),
    ).toEqual({ cards: [card], silent: ['/a'] });
  });
});

describe('usualCardPlaces()', () => {
  it('is never the drive of the system on Windows', () => {
    expect(usualCardPlaces('win32').volumes).toContain('E:\\');
    expect(usualCardPlaces('win32').volumes).not.toContain('C:\\');
  });

  it('goes by the mount table on Linux alone', () => {
    expect(usualCardPlaces('linux').mountTable).toBe('/proc/self/mountinfo');
    expect(usualCardPlaces('darwin')).not.toMatchObject({ mountTable: expect.anything() });
  });
});
