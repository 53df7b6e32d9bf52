import { execFileSync } from 'node:child_process';
import path from 'node:path';

/** What tests stand on: the built program, and the sample card, which is made where there is none of today's generator. */
export default function prepare(): void {
  const options = { cwd: path.resolve(import.meta.dirname, '..'), stdio: 'inherit' } as const;
  for (const script of ['build', 'sample-card'])
    execFileSync('npm', ['run', '--silent', script], { ...options, shell: process.platform === 'win32' });
}
