import { readFile } from 'node:fs/promises';
import { basename, dirname, join, resolve } from 'node:path';
import { displayText } from '../domain/displayText.ts';
import { HalfturnError } from '../domain/halfturnError.ts';
import type { KitFilter } from '../domain/kit.ts';
import type { FlightNotes } from './flightNotes.ts';

/**
 * Finds and reads the notes of a flight: the file that was named, else flight.toml inside the dump, else beside it
 * <dump>.flight.toml, which other dumps in the same folder do not share, else flight.toml. Undefined where none was
 * named and there is none.
 */
export async function loadFlightNotes(
  dump: string,
  named: string | undefined,
  kit: readonly KitFilter[],
): Promise<FlightNotes | undefined> {
  const places =
    named === undefined
      ? [join(dump, 'flight.toml'), notesBeside(dump), join(dirname(dump), 'flight.toml')]
      : [named];
  for (const file of places) {
    const text = await readFile(file, 'utf8').catch((error: NodeJS.ErrnoException) => {
      // ENOTDIR: the dump is a single file.
      if (named === undefined && ['ENOENT', 'ENOTDIR'].includes(error.code ?? '')) return undefined;
      throw new HalfturnError(
        `The notes ${displayText(file)} could not be read (${error.code ?? error.message})`,
        'Check the path and that you may read the file.',
      );
    });
    if (text === undefined) continue;
    // Most flights have no notes, and the schema library takes longer to load than all else of an audit's start.
    const { parseFlightNotes } = await import('./parseFlightNotes.ts');
    return parseFlightNotes(text, displayText(file), kit);
  }
  return undefined;
}

/** @example notesBeside('cards/monday') // 'cards/monday.flight.toml' */
export function notesBeside(dump: string): string {
  // Of "." and "..", neither says the name of the folder.
  const plain = ['.', '..'].includes(basename(dump)) ? resolve(dump) : dump;
  return join(dirname(plain), `${basename(plain)}.flight.toml`);
}
