import { displayText } from '../domain/displayText.ts';
import { HalfturnError } from '../domain/halfturnError.ts';
import { writeWhole } from './outputs.ts';

/** Writes a page where a flag said, whole or not at all. */
export async function writePage(file: string, text: string): Promise<void> {
  try {
    await writeWhole(file, text);
  } catch (error) {
    throw new HalfturnError(
      `"${displayText(file)}" could not be written: ${(error as Error).message}.`,
      'Name a file in a folder that you may write to.',
    );
  }
}
