import { execFile } from 'node:child_process';
import { readdirSync } from 'node:fs';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { exiftoolPath } from 'exiftool-vendored';
import { comparedFacts, type Tags } from '../reading/comparedStills.ts';
import { NoStill, readStillFile } from '../reading/readings.ts';
import { folderVariable, reportRatio } from './ratios.ts';

// npm run bench -- stills --folder <dir>
//
// Our facts of every still in the folder, and in those below it, against a general-purpose reader's, and every difference.

const run = promisify(execFile);
const stillName = /\.(jpe?g|tiff?|dng|png|webp|hei[cf]|hif|avif)$/i;
const filesAtOnce = 100;
const longestMs = 120_000;
const tags = [
  ...['File', 'IFD0', 'ExifIFD', 'GPS', 'PNG', 'RIFF', 'XMP-exif', 'XMP-exifEX', 'XMP-xmp'].map(
    (group) => `-${group}:all`,
  ),
  ...['GPSLatitude', 'GPSLongitude', 'GPSAltitude'].map((name) => `-Composite:${name}`),
];

const what = 'facts of stills that are those of a general-purpose reader';
const goal = { atLeast: 99.8, unit: '%' } as const;

async function main(): Promise<void> {
  const folder = process.env[folderVariable];
  if (folder === undefined) reportRatio({ what, ...goal, note: 'no --folder of stills was named' });
  else await compareFolder(folder);
}

async function compareFolder(folder: string): Promise<void> {
  const names = readdirSync(folder, { recursive: true, encoding: 'utf8' }).filter((name) =>
    stillName.test(name),
  );
  const counts = { stills: 0, unread: 0, facts: 0, same: 0, refused: 0 };
  for (let at = 0; at < names.length; at += filesAtOnce) {
    const files = names.slice(at, at + filesAtOnce).map((name) => join(folder, name));
    const theirs = await tagsOf(files);
    for (const file of files) await compareFile(file, theirs.get(file) ?? {}, counts);
  }
  const { stills, unread, facts, same, refused } = counts;
  console.log(`${stills} stills, ${unread} files that are none or that we cannot read`);
  console.log(
    `${facts} facts: ${same} the same, ${refused} refused by us with a reason, ${facts - same - refused} differ`,
  );
  reportRatio({
    what,
    measured: (100 * same) / (facts - refused),
    ...goal,
    note: `${facts} facts of ${stills} stills, ${refused} refused`,
  });
}

async function compareFile(
  file: string,
  theirs: Tags,
  counts: { stills: number; unread: number; facts: number; same: number; refused: number },
): Promise<void> {
  const reading = await readStillFile(file).catch((error: unknown) => {
    console.log(`${file}: ${error instanceof NoStill ? 'no still that is known' : String(error)}`);
  });
  if (reading === undefined) {
    counts.unread += 1;
    return;
  }
  counts.stills += 1;
  for (const { fact, carrier, isSame, refusal, ...values } of comparedFacts(reading, theirs)) {
    counts.facts += 1;
    if (isSame) counts.same += 1;
    else if (refusal !== undefined) counts.refused += 1;
    if (!isSame)
      console.log(
        `${file}: ${carrier} ${fact}: ${values.ours} | ${values.theirs}${refusal ? ` (${refusal})` : ''}`,
      );
  }
}

/** By path. A file on which the reader hangs or fails has none, nor have those that were asked for with it. */
async function tagsOf(files: readonly string[]): Promise<ReadonlyMap<string, Tags>> {
  const args = ['-n', '-a', '-G1', '-struct', '-json', ...tags, ...files];
  const limits = { maxBuffer: 1 << 28, timeout: longestMs };
  const output = await run(await exiftoolPath(), args, limits).catch(
    (error: { readonly stdout?: string }) => ({ stdout: error.stdout ?? '' }),
  );
  try {
    const all = JSON.parse(output.stdout) as (Tags & { readonly SourceFile: string })[];
    return new Map(all.map((each) => [each.SourceFile, each]));
  } catch {
    console.log(`The other reader gave nothing for ${files.length} files from ${files[0]} on`);
    return new Map();
  }
}

await main();
