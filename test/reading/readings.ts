import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { FactName, Facts, FactValues } from '../../src/domain/recording.ts';
import { openMedia } from '../../src/programs/openMedia.ts';
import { mergeReadings } from '../../src/reading/mergeReadings.ts';
import { sighting, type FactSighting, type Reading } from '../../src/reading/sighting.ts';
import { readStill } from '../../src/reading/still.ts';

export function valueOf<N extends FactName>(
  reading: { readonly sightings: readonly FactSighting[] },
  fact: N,
): FactValues[N] | undefined {
  return reading.sightings.find((each) => each.fact === fact)?.value as FactValues[N] | undefined;
}

export function sourceOf(
  reading: { readonly sightings: readonly FactSighting[] },
  fact: FactName,
): string | undefined {
  return reading.sightings.find((each) => each.fact === fact)?.source;
}

export function mergedFacts(sightings: readonly FactSighting[]): Facts {
  return mergeReadings([{ sightings, refusals: [] }]).facts;
}

/** Whether the first value is believed without the second as one that disagrees. */
export function agree<N extends FactName>(fact: N, a: FactValues[N], b: FactValues[N]): boolean {
  const merged = mergedFacts([sighting(fact, a, 'exif', 'A'), sighting(fact, b, 'xmp-embedded', 'B')]);
  return merged[fact]?.value === a && merged[fact].others === undefined;
}

/** Thrown where what was given is no still that is known. */
export class NoStill extends Error {}

/** Reads bytes as the still that they would be on a card. */
export async function readStillBytes(bytes: Uint8Array): Promise<Reading> {
  const folder = await mkdtemp(join(tmpdir(), 'halfturn-still-'));
  try {
    const file = join(folder, 'STILL.JPG');
    await writeFile(file, bytes);
    return await readStillFile(file);
  } finally {
    await rm(folder, { recursive: true });
  }
}

export async function readStillFile(file: string): Promise<Reading> {
  const media = await openMedia(file);
  try {
    const reading = await readStill(media);
    if (reading === undefined) throw new NoStill();
    return reading;
  } finally {
    await media.close();
  }
}
