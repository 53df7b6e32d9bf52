import { spawnSync } from 'node:child_process';
import path from 'node:path';
import { pathToFileURL } from 'node:url';
import { expect, test } from 'vitest';

const program = path.resolve(import.meta.dirname, '../../bin/halfturn.js');

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

function spaceMegabytes(first: string): number {
  const { stdout, stderr } = spawnSync(
    process.execPath,
    ['--input-type=module', '--eval', makingObjects(first)],
    { encoding: 'utf8' },
  );
  // A Node that did not know one of the flags would say so here.
  expect(stderr).toBe('');
  return Number(/^space (.+)$/m.exec(stdout)?.[1]);
}

test('the space for new objects stays small in this version of Node, where it would have grown', () => {
  const set = spaceMegabytes(`await import(${JSON.stringify(pathToFileURL(program).href)});`);
  const unset = spaceMegabytes('');
  expect(set).toBeGreaterThan(0);
  expect(set).toBeLessThan(8);
  expect(unset).toBeGreaterThan(2 * set);
});
