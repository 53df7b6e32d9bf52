import path from 'node:path';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { outputNames } from '../../../src/report/files/outputNames.ts';

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
