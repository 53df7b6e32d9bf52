import { auditJsonSchema } from '../../document/auditDocument.ts';
import { exitStatus } from '../exitStatus.ts';

export function runSchema(): number {
  process.stdout.write(`${JSON.stringify(auditJsonSchema(), undefined, 2)}\n`);
  return exitStatus.finished;
}
