import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, it, test } from 'vitest';
import { findingKinds } from '../src/findings/index.ts';

const root = path.resolve(import.meta.dirname, '..');
const file = path.join(root, 'README.md');
const folders = ['.', 'test/cli/transcripts', 'test/report/golden'];
const block = /(<!-- transcript: (\S+) -->\s+```\n)([\s\S]*?)(\n…\n```)/g;

/** The beginning of a transcript, as long as what README showed of it before. */
function refreshed(_: string, before: string, transcript: string, shown: string, after: string): string {
  const lines = readFileSync(path.join(root, transcript), 'utf8').split('\n').slice(1);
  return before + lines.slice(0, shown.split('\n').length).join('\n') + after;
}

if (process.env['UPDATE_GOLDEN'] === '1')
  writeFileSync(file, readFileSync(file, 'utf8').replaceAll(block, refreshed));
const readme = readFileSync(file, 'utf8');

describe('README', () => {
  it('shows a transcript that stands in the tested ones', () => {
    const shown = [...readme.matchAll(block)];
    expect(shown.length).toBeGreaterThan(0);
    for (const [, , transcript = '', text = ''] of shown)
      expect(readFileSync(path.join(root, transcript), 'utf8')).toContain(text);
  });

  it('names every kind of finding', () => {
    const kinds = findingKinds;
    expect(kinds.length).toBeGreaterThan(10);
    expect(kinds.filter((kind) => !readme.includes(`\`${kind}\``))).toEqual([]);
  });
});

test('what people read writes percent in one way, without a space', () => {
  const texts = folders.flatMap((folder) =>
    readdirSync(path.join(root, folder))
      .filter((name) => /\.(?:md|txt|html)$/.test(name))
      .map((name) => path.join(folder, name)),
  );
  expect(texts.length).toBeGreaterThan(20);
  const spaced = texts.flatMap((name) =>
    [...readFileSync(path.join(root, name), 'utf8').matchAll(/.{0,40}\d\s%/g)].map(
      ([line]) => `${name}: ${line}`,
    ),
  );
  expect(spaced).toEqual([]);
});
