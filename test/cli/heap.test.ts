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

/** Throws away what has lived for a while, over and over, and prints how far the heap went beyond what is kept. */
const throwingAway = (each: string) => `
  const live = Array.from({ length: 1e6 }, (_, at) => ({ at }));
  ${loading('bin/halfturn.js')};
  const look = (${loading('dist/cli/heap.js')}).collectEarly();
  look();
  const before = process.memoryUsage().heapUsed;
  const passing = [];
  let most = 0;
  for (let at = 0; at < 4e6; at++) {
    passing[at % 4e4] = { at };
    if (at % 1000 > 0) continue;
    most = Math.max(most, process.memoryUsage().heapUsed);
    ${each}
  }
  console.log('space', (most - before) / 2 ** 20, live.length);
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

test('once every file is read, less garbage lies about than V8 lets lie', () => {
  const asVersion = `process.argv = [process.argv[0], 'halfturn', '--version'];`;
  const early = spaceMegabytes(asVersion + throwingAway('look();'));
  const left = spaceMegabytes(asVersion + throwingAway(''));
  expect(early).toBeGreaterThan(0);
  expect(left).toBeGreaterThan(1.25 * early);
});
