import { mkdirSync, writeFileSync } from 'node:fs';
import type { HostileMaker } from './cases.ts';
import { commented } from './goodNeighbours.ts';
import { succeed } from './names.ts';

/** Sixty folders with names of 200 letters: no path reaches the bottom, so it is walked step by step. */
function longNames(path: Buffer): void {
  const folder = path.toString();
  mkdirSync(folder);
  const script = `for (let level = 0; level < 60; level++) {
    const name = String(level).padStart(2, '0') + 'd'.repeat(198);
    fs.mkdirSync(name); process.chdir(name); }
    fs.writeFileSync('DEEP0001.JPG', '');`;
  succeed(process.execPath, ['-e', script], folder);
}

function deepFolders(path: Buffer, still: Buffer): void {
  const inner = `${path.toString()}/${'d/'.repeat(60)}`;
  mkdirSync(inner, { recursive: true });
  writeFileSync(`${inner}DEEP0002.JPG`, still);
}

function manyFiles(path: Buffer): void {
  const folder = path.toString();
  mkdirSync(folder);
  for (let index = 0; index < 5000; index++) writeFileSync(`${folder}/note${index}.txt`, '');
}

/** One name in the two forms of Unicode, composed and decomposed; equal to the eye. */
function twins(path: Buffer, still: Buffer): void {
  const folder = path.toString();
  mkdirSync(folder);
  for (const form of ['NFC', 'NFD']) {
    writeFileSync(`${folder}/${'\u00e9t\u00e9.jpg'.normalize(form)}`, commented(still, Buffer.from(form)));
  }
}

function folderNamedAsClip(path: Buffer, still: Buffer): void {
  mkdirSync(path);
  writeFileSync(`${path.toString()}/INSD0001.JPG`, still);
}

export const treeCases: readonly HostileMaker[] = [
  {
    at: 'TREE0001',
    what: '60 folders with names of 200 letters',
    kind: 'tree',
    expect: 'problem',
    make: longNames,
  },
  {
    at: 'TREE0002',
    what: 'a still below 60 folders',
    kind: 'tree',
    expect: 'any',
    make: (path, { still }) => deepFolders(path, still),
  },
  {
    at: 'TREE0003',
    what: '5,000 files that are no recordings',
    kind: 'tree',
    expect: 'aside',
    make: manyFiles,
  },
  {
    at: 'TREE0004',
    what: 'two names that look the same',
    kind: 'tree',
    expect: 'audited',
    make: (path, { still }) => twins(path, still),
  },
  {
    at: 'TREE0005.MP4',
    what: 'a folder named as a clip, with a good still in it',
    kind: 'tree',
    expect: 'audited',
    make: (path, { still }) => folderNamedAsClip(path, still),
  },
];
