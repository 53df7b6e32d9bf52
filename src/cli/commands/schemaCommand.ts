import type { Command } from 'commander';
import { auditJsonSchema } from '../../document/auditDocument.ts';
import { exitStatus } from '../exitStatus.ts';
import type { CommandLine } from '../flags.ts';

export function addCommand(program: Command, { end }: CommandLine): void {
  program
    .command('schema')
    .description('print the JSON Schema of the audit document')
    .addHelpText('after', '\nExample:\n  halfturn schema > audit.schema.json')
    .action(async () => end(runSchema()));
}

function runSchema(): number {
  process.stdout.write(`${JSON.stringify(auditJsonSchema(), undefined, 2)}\n`);
  return exitStatus.finished;
}
