import { buildHostile } from './build.ts';

/** Usage: tsx sample-media-generator/hostile/main.ts <folder>. */
async function main(folder: string | undefined): Promise<number> {
  if (folder === undefined) {
    console.error('Name the folder to make: tsx sample-media-generator/hostile/main.ts <folder>');
    return 2;
  }
  const cases = await buildHostile(folder);
  for (const { name, expect, what } of cases) console.log(`${name}\t${expect}\t${what}`);
  return 0;
}

process.exitCode = await main(process.argv[2]);
