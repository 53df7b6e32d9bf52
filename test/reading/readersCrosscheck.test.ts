import { existsSync, readdirSync } from 'node:fs';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { ExifTool } from 'exiftool-vendored';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { comparedFacts, type Tags } from './comparedStills.ts';
import { makeStills } from './crosscheckStills.ts';
import { readStillFile } from './readings.ts';

const realMedia = fileURLToPath(new URL('../../../shared/real-media/', import.meta.url));

/** Where we differ on purpose, and why. Anything else that differs fails; so does a line that is not needed. */
const differences: Readonly<Record<string, string>> = {
  'exposure-zero.jpg exif exposureSeconds': 'no picture is taken in 0 s: refused',
  'exposure-absurd.jpg exif exposureSeconds': 'longer than a day: refused',
  'huge-denominator.jpg exif exposureSeconds': 'no shutter opens for a quarter of a nanosecond: refused',
  'iso-overflow.jpg exif iso': '65535 means 65535 or more; SensitivityType names the tag with the full value',
  'iso-overflow-alone.jpg exif iso': '65535 means 65535 or more: refused',
  'month-13.jpg exif recordedAt': 'there is no thirteenth month: refused',
  'no-hemisphere.jpg exif longitude': 'a longitude without a latitude is no position',
  'lower-case-hemisphere.jpg exif latitude': 'the standard knows N and S only: refused',
  'lower-case-hemisphere.jpg exif longitude': 'a longitude without a latitude is no position',
  'null-island.jpg exif latitude': 'receivers without a fix write 0, 0: refused',
  'null-island.jpg exif longitude': 'receivers without a fix write 0, 0: refused',
};

const realDifferences: Readonly<Record<string, string>> = {
  'exposure-4294967295.jpg exif exposureSeconds': 'longer than a day: refused',
};

let exiftool: ExifTool;
let folder: string;

beforeAll(async () => {
  exiftool = new ExifTool({ taskTimeoutMillis: 20_000 });
  folder = await mkdtemp(join(tmpdir(), 'halfturn-crosscheck-'));
});

afterAll(async () => {
  await exiftool.end();
  await rm(folder, { recursive: true });
});

interface Outcome {
  readonly values: number;
  readonly differing: readonly string[];
}

async function compare(base: string, names: readonly string[]): Promise<Outcome> {
  let values = 0;
  const differing: string[] = [];
  for (const name of names) {
    const tags = await exiftool.readRaw(join(base, name), { readArgs: ['-n', '-a', '-G1', '-struct'] });
    const reading = await readStillFile(join(base, name));
    for (const { fact, carrier, ours, theirs, isSame } of comparedFacts(reading, tags as Tags)) {
      values += 1;
      if (!isSame) differing.push(`${name} ${carrier} ${fact}: ${ours} | ${theirs}`);
    }
  }
  return { values, differing };
}

function expectOnlyKnown(
  what: string,
  { values, differing }: Outcome,
  known: Readonly<Record<string, string>>,
): void {
  const keyOf = (line: string) => line.slice(0, line.indexOf(': '));
  const unexplained = differing.filter((line) => known[keyOf(line)] === undefined);
  console.log(
    `${what}: ${values} values compared, ${differing.length} differ, ${unexplained.length} unexplained`,
  );
  expect(unexplained).toEqual([]);
  expect(differing).toHaveLength(Object.keys(known).length);
}

test('made stills are read as a general-purpose reader reads them', { timeout: 120_000 }, async () => {
  const names = await makeStills(folder, exiftool);
  expect(names.length).toBeGreaterThanOrEqual(100);
  const outcome = await compare(folder, names);
  expect(outcome.values).toBeGreaterThanOrEqual(400);
  expectOnlyKnown(`${names.length} made stills`, outcome, differences);
});

test('real stills are read as a general-purpose reader reads them', { timeout: 120_000 }, async (context) => {
  if (!existsSync(realMedia)) return context.skip('no folder with real media is here');
  const names = readdirSync(realMedia).filter((name) =>
    /\.(jpe?g|png|tiff?|dng|webp|hei[cf]|avif)$/i.test(name),
  );
  const outcome = await compare(realMedia, names);
  expect(outcome.values).toBeGreaterThan(0);
  expectOnlyKnown(`${names.length} real stills`, outcome, realDifferences);
});
