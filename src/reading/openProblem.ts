import { displayText } from '../domain/displayText.ts';
import { HalfturnError } from '../domain/halfturnError.ts';
import type { Problem } from '../domain/recording.ts';
import { noteChance } from '../programs/chance.ts';

/** The problem that a failure to open or read a file is; anything unexpected is thrown on. */
export function openProblem(path: string, file: Buffer, error: unknown): Problem {
  noteChance();
  if (error instanceof HalfturnError) {
    const name = `${displayText(file)} `;
    const message = error.message.startsWith(name) ? error.message.slice(name.length) : error.message;
    return { path, message, hint: error.hint ?? '' };
  }
  const code = (error as NodeJS.ErrnoException).code;
  if (code === undefined) throw error;
  return {
    path,
    message: `could not be read (${code})`,
    hint: 'Copy the card again and check it for errors.',
  };
}
