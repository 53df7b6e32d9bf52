import type sharp from 'sharp';
import { HalfturnError } from '../domain/halfturnError.ts';

/**
 * The library that decodes stills and writes small pictures. Its own programs are optional packages, so an
 * installation may lack them, which is a HalfturnError; it is loaded only where a picture is at hand.
 */
export async function pictureLibrary(): Promise<typeof sharp> {
  try {
    const { default: library } = await import('sharp');
    // By itself it holds what it made last, up to 50 MB; no picture is worked on twice.
    library.cache(false);
    return library;
  } catch {
    throw new HalfturnError(
      'The picture library of this installation has no program for this system',
      'Run npm install again without leaving out optional packages.',
      undefined,
      true,
    );
  }
}
