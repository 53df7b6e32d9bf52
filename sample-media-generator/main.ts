import { readdir } from 'node:fs/promises';
import { relative, resolve } from 'node:path';
import { isCurrent, makeCard, versionOf } from './card.ts';

/** Usage: tsx sample-media-generator/main.ts <folder>. Makes <folder>/card, <folder>/flight.toml and, last, <folder>/truth.json. */
async function main(given: string | undefined): Promise<number> {
  if (given === undefined) {
    console.error('Name the folder to make: tsx sample-media-generator/main.ts <folder>');
    return 2;
  }
  const folder = resolve(given);
  const name = relative('', folder) || '.';
  const version = await versionOf(folder);
  if (isCurrent(version)) {
    console.log(`${name} already holds the sample card.`);
    return 0;
  }
  if (version === undefined && !(await isEmptyOrAbsent(folder))) {
    console.error(`${name} holds something else than a sample card. Empty it or name another folder.`);
    return 2;
  }
  const startedAt = performance.now();
  await makeCard(folder);
  console.log(`${name} made in ${Math.round((performance.now() - startedAt) / 1000)} s.`);
  return 0;
}

async function isEmptyOrAbsent(folder: string): Promise<boolean> {
  const names = await readdir(folder).catch((error: NodeJS.ErrnoException) => {
    if (error.code === 'ENOENT') return [];
    throw error;
  });
  return names.length === 0;
}

process.exitCode = await main(process.argv[2]);
