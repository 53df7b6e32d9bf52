import { readFileSync } from 'node:fs';

/** The version in package.json, which lies two folders up both from src/cli and from dist/cli. */
export function packageVersion(): string {
  const text = readFileSync(new URL('../../package.json', import.meta.url), 'utf8');
  return (JSON.parse(text) as { version: string }).version;
}
