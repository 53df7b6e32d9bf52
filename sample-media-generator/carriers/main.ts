import { buildCarriers } from './build.ts';

/** Usage: tsx sample-media-generator/carriers/main.ts <folder>. */
async function main(folder: string | undefined): Promise<number> {
  if (folder === undefined) {
    console.error('Name the folder to make: tsx sample-media-generator/carriers/main.ts <folder>');
    return 2;
  }
  const truths = await buildCarriers(folder);
  console.log(`${truths.length} clips made.`);
  return 0;
}

process.exitCode = await main(process.argv[2]);
