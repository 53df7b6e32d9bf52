import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';

/** What tests stand on: the built program, and the sample card, which is made where there is none of today's generator. */
export default function prepare(): () => void {
  const options = { cwd: path.resolve(import.meta.dirname, '..'), stdio: 'inherit' } as const;
  for (const script of ['build', 'sample-card'])
    execFileSync('npm', ['run', '--silent', script], { ...options, shell: process.platform === 'win32' });
  // For what the tests of one run share (cardAudit.ts); the processes that run them inherit the name.
  const folder = mkdtempSync(path.join(tmpdir(), 'halfturn-run-'));
  process.env['HALFTURN_TEST_RUN'] = folder;
  return () => rmSync(folder, { recursive: true, force: true });
}
