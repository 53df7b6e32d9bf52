import { readFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, it } from 'vitest';

const root = path.resolve(import.meta.dirname, '..');
const readme = readFileSync(path.join(root, 'README.md'), 'utf8');

describe('README', () => {
  it('shows a transcript that stands in the tested ones', () => {
    const shown = [...readme.matchAll(/<!-- transcript: (\S+) -->\s+```\n([\s\S]*?)\n…\n```/g)];
    expect(shown.length).toBeGreaterThan(0);
    for (const [, file = '', text = ''] of shown)
      expect(readFileSync(path.join(root, file), 'utf8')).toContain(text);
  });

  it('names every kind of finding', () => {
    const finding = readFileSync(path.join(root, 'src/domain/finding.ts'), 'utf8');
    const kinds = [...finding.matchAll(/kind: ([^;]+);/g)].flatMap(([, union = '']) =>
      [...union.matchAll(/'([a-z-]+)'/g)].map(([, kind]) => kind),
    );
    expect(kinds.length).toBeGreaterThan(10);
    expect(kinds.filter((kind) => !readme.includes(`\`${kind}\``))).toEqual([]);
  });
});
