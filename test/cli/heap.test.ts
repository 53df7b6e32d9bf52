import { spawnSync } from 'node:child_process';
import path from 'node:path';
import { pathToFileURL } from 'node:url';
import { expect, test } from 'vitest';

const root = path.resolve(import.meta.dirname, '../..');
const loading = (file: string): string =>
  `await import(${JSON.stringify(pathToFileURL(path.join(root, file)).href)})`;

/** Makes a million objects once the program has set its heap, and prints what the space for new ones came to. */
const makingObjects = (first: string) => `
  import { getHeapSpaceStatistics } from 'node:v8';
  process.argv = [process.argv[0], 'halfturn', '--version'];
  ${first}
  let kept = [];
  for (let at = 0; at < 1e6; at++) {
    kept.push({ at });
    if (kept.length > 2e5) kept = [];
  }
  const { space_size: bytes } = getHeapSpaceStatistics().find(({ space_name: name }) => name === 'new_space');
  console.log('space', bytes / 2 ** 20);
`;

function spaceMegabytes(script: string): number {
  const { stdout, stderr } = spawnSync(process.execPath, ['--input-type=module', '--eval', script], {
    encoding: 'utf8',
  });
  // A Node that did not know one of the flags would say so here.
  expect(stderr).toBe('');
  return Number(/^space ([\d.]+)/m.exec(stdout)?.[1]);
}

test('the space for new objects stays small in this version of Node, where it would have grown', () => {
  const set = spaceMegabytes(makingObjects(loading('bin/halfturn.js')));
  const unset = spaceMegabytes(makingObjects(''));
  expect(set).toBeGreaterThan(0);
  expect(set).toBeLessThan(8);
  expect(unset).toBeGreaterThan(2 * set);
});
