import { mkdir, rm, writeFile } from 'node:fs/promises';
import { basename, join } from 'node:path';
import { ExifTool, type WriteTags } from 'exiftool-vendored';
import { findFfmpeg } from '../encode.ts';
import { CLIPS } from './clips.ts';
import { makeClip, makeStill, stillTags, type Workshop } from './media.ts';
import type { PlantedSequence } from './plan.ts';
import { SEQUENCES, STILLS } from './stills.ts';

/** What was planted where, as kinds of findings. */
export interface PlantedTruth {
  readonly recordings: readonly { readonly path: string; readonly planted: readonly string[] }[];
  readonly sequences: readonly {
    readonly kind: PlantedSequence['kind'];
    readonly paths: readonly string[];
    readonly planted: readonly string[];
  }[];
}

/** Makes <folder>/card with one fault or none in each recording, <folder>/flight.toml and <folder>/truth.json. */
export async function buildPlantedCard(folder: string): Promise<PlantedTruth> {
  const workshop: Workshop = {
    ffmpeg: await findFfmpeg(),
    card: join(folder, 'card'),
    scratch: join(folder, 'scratch'),
  };
  for (const name of ['card/DCIM/200_AERO', 'card/DCIM/201_AERO', 'scratch'])
    await mkdir(join(folder, name), { recursive: true });
  await Promise.all([makeClips(workshop), makeStills(workshop)]);
  await rm(workshop.scratch, { recursive: true });
  await writeFile(join(folder, 'flight.toml'), notes());
  const truth = plantedTruth();
  await writeFile(join(folder, 'truth.json'), `${JSON.stringify(truth, undefined, 2)}\n`);
  return truth;
}

const allStills = [...STILLS, ...SEQUENCES.flatMap(({ stills }) => stills)];

async function makeClips(workshop: Workshop): Promise<void> {
  for (const clip of CLIPS) await makeClip(clip, workshop);
}

async function makeStills(workshop: Workshop): Promise<void> {
  const exiftool = new ExifTool({ maxProcs: 1 });
  try {
    for (const still of allStills) {
      await makeStill(still, workshop);
      const tags = stillTags(still) as WriteTags;
      await exiftool.write(join(workshop.card, still.file), tags, { writeArgs: ['-overwrite_original'] });
    }
  } finally {
    await exiftool.end();
  }
}

function notes(): string {
  const worn = new Map<string, string[]>();
  for (const { file, fitted } of [...CLIPS, ...allStills])
    if (fitted !== undefined) worn.set(fitted, [...(worn.get(fitted) ?? []), basename(file)]);
  const noted = SEQUENCES.filter(({ isNoted }) => isNoted).flatMap(({ stills }) =>
    stills.map(({ file }) => basename(file)),
  );
  const filters = [...worn]
    .map(([filter, files]) => `[[fitted]]\nfilter = "${filter}"\nfiles = ${JSON.stringify(files)}\n`)
    .join('\n');
  return `timelapse = ${JSON.stringify(noted)}\n\n${filters}`;
}

function plantedTruth(): PlantedTruth {
  return {
    recordings: [...CLIPS, ...allStills].map(({ file, planted }) => ({ path: file, planted })),
    sequences: SEQUENCES.map(({ kind, stills, planted }) => ({
      kind,
      paths: stills.map(({ file }) => file),
      planted,
    })),
  };
}
