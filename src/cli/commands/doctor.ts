import { exitStatus } from '../exitStatus.ts';
import { inspectInstallation } from '../installation.ts';

export async function runDoctor(): Promise<number> {
  const { lines, usable } = await inspectInstallation();
  process.stdout.write(`${lines.join('\n')}\n`);
  return usable ? exitStatus.finished : exitStatus.notDone;
}
