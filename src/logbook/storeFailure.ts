import { HalfturnError } from '../domain/halfturnError.ts';

/** What SQLite reported, as far as it matters here. */
interface SqliteFailure {
  readonly code: string;
  readonly message: string;
}

/** One sentence for the person, and what to do. Nothing is repaired or overwritten here. */
export function storeFailure(file: string, { code, message }: SqliteFailure): HalfturnError {
  const named = `The logbook "${file}"`;
  if (code.startsWith('SQLITE_BUSY') || code.startsWith('SQLITE_LOCKED'))
    return new HalfturnError(
      `${named} is being written by another program, and waiting did not help.`,
      'Let it finish and try again. Nothing was changed.',
    );
  if (code === 'SQLITE_NOTADB')
    return new HalfturnError(
      `"${file}" is no logbook.`,
      'Name another file with --logbook. Nothing was changed.',
    );
  if (code.startsWith('SQLITE_CORRUPT'))
    return new HalfturnError(
      `${named} is damaged (${message}).`,
      'Put a copy of it back, or move it away and import your last export. Nothing was changed.',
    );
  if (code.startsWith('SQLITE_READONLY') || code.startsWith('SQLITE_CANTOPEN') || code === 'SQLITE_PERM')
    return new HalfturnError(
      `${named} cannot be written.`,
      'Check that you may write the file and its folder, or name another one with --logbook.',
    );
  if (code.startsWith('SQLITE_FULL') || code.startsWith('SQLITE_IOERR'))
    return new HalfturnError(
      `${named} could not be written: ${message}.`,
      'Check that the disk has room and is sound. What was entered before is still there.',
    );
  return new HalfturnError(`${named} could not be used: ${message}.`, 'Name another file with --logbook.');
}
