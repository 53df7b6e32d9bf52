import path from 'node:path';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { outputNames, sidecarNames } from '../../../src/report/files/outputNames.ts';

test('whatever a path holds, the file lies below the folder and its name fits a file system', () => {
  const part = fc.oneof(
    fc.string({ unit: 'binary', maxLength: 300 }),
    fc.constantFrom('..', '.', '', 'C:', '\\', 'a\\b', 'CON', ' ', 'x.'),
  );
  fc.assert(
    fc.property(fc.array(fc.array(part, { maxLength: 4 }), { maxLength: 6 }), (paths) => {
      const names = outputNames(
        paths.map((parts) => parts.join('/')),
        '.xmp',
      );
      expect(new Set(names.map((name) => name.toLowerCase())).size).toBe(paths.length);
      for (const name of names) {
        expect(path.posix.normalize(name)).toBe(name);
        expect(path.posix.isAbsolute(name) || name.startsWith('..')).toBe(false);
        expect(name).not.toMatch(/[\\:*?"<>|]/);
        for (const one of name.split('/')) expect(Buffer.byteLength(one)).toBeLessThan(240);
      }
    }),
  );
});

test('a name of 255 bytes, as long as a file system allows, still gets its suffix', () => {
  const [name] = outputNames([`${'é'.repeat(125)}x.MP4`], '.xmp');
  expect(Buffer.byteLength(name!)).toBeLessThanOrEqual(204);
  expect(name!.endsWith('x.MP4.xmp')).toBe(true);
});

test('a name that one system keeps for a device is changed', () => {
  expect(outputNames(['NUL/con.mp4', 'CONTROL.MP4'], '.xmp')).toEqual([
    'NUL_/con_.mp4.xmp',
    'CONTROL.MP4.xmp',
  ]);
});

test('a sidecar is there under the whole name and under the base name, where that is of one recording', () => {
  const paths = [
    'A/CLIP.MP4',
    'B/CLIP.MP4',
    'B/STIL.JPG',
    'B/stil.DNG',
    'C/X.Y',
    'C/X',
    'D/.MP4',
    'E/Z.MP4',
    'E/Z.mp4',
  ];
  expect(sidecarNames(paths, '.xmp')).toEqual([
    ['A/CLIP.MP4.xmp', 'A/CLIP.xmp'],
    ['B/CLIP.MP4.xmp', 'B/CLIP.xmp'],
    ['B/STIL.JPG.xmp'],
    ['B/stil.DNG.xmp'],
    ['C/X.Y.xmp'],
    ['C/X.xmp'],
    ['D/.MP4.xmp'],
    ['E/Z.MP4.xmp'],
    ['E/Z.mp4~2.xmp'],
  ]);
});

test('no two sidecars have the same name, whatever the recordings are called', () => {
  const name = fc.array(fc.constantFrom('a', 'A', '.', '/', 'b', '.xmp', '~2'), { maxLength: 6 });
  fc.assert(
    fc.property(fc.array(name, { maxLength: 8 }), (names) => {
      const all = sidecarNames(
        names.map((parts) => parts.join('')),
        '.xmp',
      ).flat();
      expect(new Set(all.map((each) => each.toLowerCase())).size).toBe(all.length);
    }),
  );
});
