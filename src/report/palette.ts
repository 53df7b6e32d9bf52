import picocolors from 'picocolors';

/** Colour in a terminal only underlines what words and marks already say; switched off, nothing is lost. */
export type Palette = ReturnType<typeof picocolors.createColors>;

export function createPalette(colour: boolean): Palette {
  return picocolors.createColors(colour);
}
