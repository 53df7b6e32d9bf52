import { displayText } from '../domain/displayText.ts';
import { HalfturnError } from '../domain/halfturnError.ts';
import type { Problem } from '../domain/recording.ts';
import { openMedia, type OpenMedia } from '../programs/openMedia.ts';

/** Opens a file for as long as it is used. */
export async function withFile<T>(file: Buffer, use: (media: OpenMedia) => T | Promise<T>): Promise<T> {
  const media = await openMedia(file);
  try {
    return await use(media);
  } finally {
    await media.close();
  }
}

/** The problem that a failure to open or read a file is; anything unexpected is thrown on. */
export function openProblem(path: string, file: Buffer, error: unknown): Problem {
  if (error instanceof HalfturnError)
    return { path, message: withoutName(error.message, file), hint: error.hint ?? '' };
  const code = (error as NodeJS.ErrnoException).code;
  if (code === undefined) throw error;
  return {
    path,
    message: `could not be read (${code})`,
    hint: 'Copy the card again and check it for errors.',
  };
}

/** A message that begins with the name of the file, as the rest of the sentence. */
export function withoutName(message: string, file: string | Buffer): string {
  const name = `${displayText(file)} `;
  return message.startsWith(name) ? message.slice(name.length) : message;
}
