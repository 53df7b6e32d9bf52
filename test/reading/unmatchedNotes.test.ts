import { mkdir, writeFile } from 'node:fs/promises';
import path from 'node:path';
import fc from 'fast-check';
import { afterAll, describe, expect, test } from 'vitest';
import { audit } from '../../src/audit/audit.ts';
import { nearestName } from '../../src/reading/nearestName.ts';
import { parseFlightNotes } from '../../src/reading/parseFlightNotes.ts';
import { unmatchedNotes } from '../../src/reading/unmatchedNotes.ts';
import { scratchFolder } from './madeMedia.ts';

const scratch = await scratchFolder();
afterAll(() => scratch.remove());

const source = 'test';
const clip = (name: string, recordedAt?: string) => ({
  path: `DCIM/${name}`,
  facts: recordedAt === undefined ? {} : { recordedAt: { value: recordedAt, source } },
});
const recordings = [
  clip('CLIP0001.MP4', '2026-05-14T10:02:00'),
  clip('CLIP0003.MP4', '2026-05-14T10:40:00'),
  clip('CLIP0012.MP4'),
];
const unmatched = (entry: string) =>
  unmatchedNotes(parseFlightNotes(`[[fitted]]\nfilter = "ND16"\n${entry}`, 'monday.flight.toml', []), {
    recordings,
    otherPaths: ['DCIM/CLIP0099.MP4'],
    zoneOffsetAt: () => 0,
  });

describe('notes that match nothing', () => {
  test('a mistyped name is a problem of the notes that names the nearest one', () => {
    expect(unmatched('files = ["CLIP0001.MP4", "CLIP00O3.MP4"]')).toEqual([
      {
        path: 'monday.flight.toml',
        message: 'names "CLIP00O3.MP4" for ND16, and no file of this card is called that',
        hint: 'The nearest name is CLIP0003.MP4: correct the notes, or copy what is missing from the card.',
        about: 'notes',
      },
    ]);
  });

  test('many names of an entry are what a copy lacks, and one problem', () => {
    const [problem, ...more] = unmatched('files = ["A1.MP4", "A2.MP4", "A3.MP4", "A4.MP4", "CLIP0001.MP4"]');
    expect(more).toEqual([]);
    expect(problem).toMatchObject({
      message: 'names 4 files for ND16 that this card does not hold: A1.MP4, A2.MP4, A3.MP4 and others',
      detail: 'A1.MP4, A2.MP4, A3.MP4, A4.MP4',
    });
  });

  test.each(['files = "clip*"', 'files = "DCIM/CLIP000?.MP4"', 'files = "CLIP0099.MP4"', ''])(
    '%j matches, also a file that could not be read',
    (entry) => expect(unmatched(entry)).toEqual([]),
  );

  test('a span without a recording is a problem that says when they were made', () => {
    const [problem] = unmatched('from = 11:00:00\nto = 11:30:00');
    expect(problem!.message).toMatch(/^says ND16 from 11:00:00 to 11:30:00, and no recording that was read/);
    expect(problem!.hint).toMatch(/^They are of 2026-05-14T10:02:00 to 2026-05-14T10:40:00 by the clock/);
    expect(unmatched('from = 10:30:00')).toEqual([]);
  });

  test('a span for files that do not say when they were made asks for names alone', () => {
    const [problem] = unmatched('files = "CLIP0012.MP4"\nfrom = 10:00:00');
    expect(problem!.message).toMatch(/no recording that it can mean says when it was made/);
    expect(problem!.hint).toBe('Name the files instead.');
  });

  test('an audit lists it behind the files, and not where one file of the card was named', async () => {
    const dump = path.join(scratch.path, 'card');
    await mkdir(dump);
    await writeFile(path.join(dump, 'A.MP4'), '');
    await writeFile(path.join(dump, 'flight.toml'), '[[fitted]]\nfilter = "ND8"\nfiles = "B.MP4"\n');
    const { problems } = await audit(dump);
    expect(problems.map(({ path: where, about }) => [path.basename(where), about])).toEqual([
      ['A.MP4', undefined],
      ['flight.toml', 'notes'],
    ]);
    expect((await audit(path.join(dump, 'A.MP4'))).problems).toHaveLength(1);
  });
});

describe('nearestName()', () => {
  test.each([
    ['kitten.jpg', ['sitting.jpg', 'mitten.jpg'], 'mitten.jpg'],
    ['CLIP01*.MP4', ['AERO0123.MP4', 'CLlP0123.MP4'], 'CLlP0123.MP4'],
    ['DCIM/101/A.JPG', ['DCIM/100/A.JPG', 'A.JPG'], 'DCIM/100/A.JPG'],
    ['A.JPG', [], undefined],
  ])('of %j among %j is %j', (pattern, names, nearest) => {
    expect(nearestName(pattern, names)).toBe(nearest);
  });

  test('of a name that is among them is that name in any case', () => {
    const name = fc.stringMatching(/^[A-Za-z0-9_.]{1,20}$/);
    fc.assert(
      fc.property(fc.uniqueArray(name, { selector: (one) => one.toLowerCase(), minLength: 1 }), (names) => {
        const last = names.at(-1)!;
        expect(nearestName(last.toUpperCase(), names)).toBe(last);
      }),
    );
  });
});
