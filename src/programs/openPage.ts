import { spawn } from 'node:child_process';
import path from 'node:path';

const openers: Partial<Readonly<Record<NodeJS.Platform, readonly [program: string, ...args: string[]]>>> = {
  darwin: ['open'],
  win32: ['cmd', '/c', 'start', '""'],
};

/** Shows a page in the browser that the system is set to. It outlives us, and where there is none nothing happens. */
export function openPage(file: string): void {
  const [program, ...args] = openers[process.platform] ?? ['xdg-open'];
  spawn(program!, [...args, path.resolve(file)], { detached: true, stdio: 'ignore' })
    .on('error', () => {})
    .unref();
}
