import { spawn } from 'node:child_process';

/**
 * Runs a script of our own and gives back the whole lines that it said by its end, or within the time.
 *
 * A script that is stuck inside the system does not end when it is killed; it is not waited for.
 */
export function linesWithin(
  script: string,
  args: readonly string[],
  wallMs: number,
): Promise<readonly string[]> {
  const child = spawn(process.execPath, [script, ...args], {
    stdio: ['ignore', 'pipe', 'ignore'],
    windowsHide: true,
    // Each request that is stuck takes one of four threads, and there may be more volumes than that.
    env: { ...process.env, UV_THREADPOOL_SIZE: '64' },
  });
  let said = '';
  child.stdout.setEncoding('utf8').on('data', (text: string) => (said += text));
  return new Promise((resolve) => {
    const finish = (): void => {
      clearTimeout(timer);
      child.kill('SIGKILL');
      child.stdout.destroy();
      child.unref();
      resolve(said.split('\n').slice(0, -1));
    };
    const timer = setTimeout(finish, wallMs);
    child.once('close', finish).once('error', finish);
  });
}
