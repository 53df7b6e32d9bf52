import { readFileSync } from 'node:fs';
import path from 'node:path';

/** The program under "As a library", which test/package.test.ts compiles and runs. */
export function libraryExample(): string {
  const readme = readFileSync(path.resolve(import.meta.dirname, '../README.md'), 'utf8');
  const [, text] = /<!-- example: test\/package\.test\.ts -->\s+```ts\n([\s\S]*?)```/.exec(readme) ?? [];
  if (text === undefined) throw new Error('README.md has no example for the library');
  return text;
}
