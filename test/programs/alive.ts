import { existsSync, readFileSync } from 'node:fs';
import { setTimeout as sleep } from 'node:timers/promises';

function isAlive(pid: number): boolean {
  try {
    process.kill(pid, 0);
  } catch {
    return false;
  }
  // Where nobody collects orphans, a killed one stays in the list as a zombie.
  const status = existsSync(`/proc/${pid}/status`) ? readFileSync(`/proc/${pid}/status`, 'utf8') : '';
  return !/^State:\s+Z/m.test(status);
}

/** Whether a process ends within some seconds. */
export async function ends(pid: number): Promise<boolean> {
  for (let tries = 0; tries < 250 && isAlive(pid); tries += 1) await sleep(20);
  return !isAlive(pid);
}
