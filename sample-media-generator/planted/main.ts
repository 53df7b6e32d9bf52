import { buildPlantedCard } from './build.ts';

/** Usage: tsx sample-media-generator/planted/main.ts <folder>. */
async function main(folder: string | undefined): Promise<number> {
  if (folder === undefined) {
    console.error('Name the folder to make: tsx sample-media-generator/planted/main.ts <folder>');
    return 2;
  }
  const { recordings, sequences } = await buildPlantedCard(folder);
  console.log(`${recordings.length} recordings and ${sequences.length} brackets and series made.`);
  return 0;
}

process.exitCode = await main(process.argv[2]);
