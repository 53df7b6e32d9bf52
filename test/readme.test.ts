import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, it, test } from 'vitest';

const root = path.resolve(import.meta.dirname, '..');
const file = path.join(root, 'README.md');
const folders = [
  '.',
  'src/report',
  'src/findings',
  'src/measuring',
  'test/cli/transcripts',
  'test/report/golden',
];
const block = /<!-- transcript: (\S+) -->\s+```\n([\s\S]*?)\n```/g;

/** A line of the transcript in place of the one that README shows, which begins with the same word or name. */
function refreshed(shown: string, lines: readonly string[]): string {
  const start = (line: string) => line.slice(0, 25);
  return lines.find((line) => start(line) === start(shown)) ?? shown;
}

function transcript(name: string): readonly string[] {
  return readFileSync(path.join(root, name), 'utf8').split('\n');
}

if (process.env['UPDATE_GOLDEN'] === '1')
  writeFileSync(
    file,
    readFileSync(file, 'utf8').replaceAll(block, (text, name: string) =>
      text
        .split('\n')
        .map((line, at) => (at < 2 ? line : refreshed(line, transcript(name))))
        .join('\n'),
    ),
  );
const readme = readFileSync(file, 'utf8');

describe('README', () => {
  it('shows lines of a tested transcript, in their order', () => {
    const shown = [...readme.matchAll(block)];
    expect(shown.length).toBeGreaterThan(0);
    for (const [, name = '', text = ''] of shown) {
      const lines = text.split('\n').filter((line) => line !== '…');
      const wanted = new Set(lines);
      let at = 0;
      for (const line of transcript(name)) if (line === lines[at]) at += 1;
      expect(lines.slice(at), `not in ${name} or not in that order`).toEqual([]);
      expect(wanted.size).toBeGreaterThan(5);
    }
  });

  it('is short enough to be read', () => {
    expect(Buffer.byteLength(readme)).toBeLessThanOrEqual(8 * 1024);
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
