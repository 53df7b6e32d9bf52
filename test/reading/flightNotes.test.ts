import { writeFile, mkdir } from 'node:fs/promises';
import { basename, join } from 'node:path';
import { afterAll, describe, expect, test } from 'vitest';
import { audit } from '../../src/audit/audit.ts';
import { HalfturnError } from '../../src/domain/halfturnError.ts';
import { fittedFor, isNotedTimeLapse, unmatchedNotes } from '../../src/reading/flightNotes.ts';
import { loadFlightNotes, parseFlightNotes } from '../../src/reading/loadFlightNotes.ts';
import { scratchFolder } from './madeMedia.ts';

const kit = [{ label: 'Grey Four', stops: 4.1 }];
const parse = (text: string) => parseFlightNotes(text, 'flight.toml', kit);
const source = 'test';
const clip = (path: string, recordedAt?: string, longitude?: number) => ({
  path,
  facts: {
    recordedAt: recordedAt !== undefined ? { value: recordedAt, source } : undefined,
    longitude: longitude !== undefined ? { value: longitude, source } : undefined,
  },
});
/** On a computer two hours east of Greenwich. */
const labelFor = (notes: string, path: string, recordedAt?: string, longitude?: number) =>
  fittedFor(clip(path, recordedAt, longitude), parse(notes), () => 120)?.label;

test('notes are read whole', () => {
  const notes = parse(
    '# as written\nplace = "Lower Vale"\nlatitude = 47.5\nlongitude = -8.7\nsky = "haze"\n[[fitted]]\nfilter = "grey four"\nfiles = ["A*.MP4"]\n',
  );
  expect(notes).toEqual({
    file: 'flight.toml',
    text: notes.text,
    place: 'Lower Vale',
    latitude: 47.5,
    longitude: -8.7,
    sky: 'haze',
    fitted: [{ filter: { label: 'Grey Four', stops: 4.1, source: 'notes' }, files: ['A*.MP4'] }],
  });
  expect(notes.text).toMatch(/^# as written\nplace/);
});

describe('a filter is found for a recording', () => {
  test.each([
    ['CLIP00*.MP4', 'DCIM/100/CLIP0001.MP4', true],
    ['clip00*.mp4', 'DCIM/100/CLIP0001.MP4', true],
    ['CLIP000?.MP4', 'CLIP0001.MP4', true],
    ['CLIP000?.MP4', 'CLIP0010.MP4', false],
    ['DCIM/**', 'DCIM/100/CLIP0001.MP4', true],
    ['DCIM/*', 'DCIM/100/CLIP0001.MP4', false],
    ['**/CLIP0001.MP4', 'CLIP0001.MP4', true],
    ['A.MP4', 'AxMP4', false],
    ['(A+)[1].MP4', '(A+)[1].MP4', true],
  ])('files = %j and %s: %s', (glob, path, found) => {
    expect(labelFor(`[[fitted]]\nfilter = "ND16"\nfiles = ${JSON.stringify(glob)}`, path)).toBe(
      found ? 'ND16' : undefined,
    );
  });

  test.each([
    ['from = 10:00:00\nto = 10:30:00', '2026-05-14T10:30:00', true],
    ['from = 10:00:00\nto = 10:30:00', '2026-05-14T10:30:01+02:00', false],
    ['from = "10:00"', '2026-05-14T09:59:59', false],
    ['to = 2026-05-14T10:00:00', '2026-05-14T09:00:00+02:00', true],
    ['to = 2026-05-14T10:00:00', '2026-05-15T09:00:00', false],
    ['from = 22:00:00\nto = 02:00:00', '2026-05-14T01:00:00', true],
    ['from = 22:00:00\nto = 02:00:00', '2026-05-14T12:00:00', false],
    ['from = 10:00', '2026-05-14T10:00:00', true],
    ['to = 10:00', '2026-05-14T10:00:00.9', true],
    ['from = 10:00:00', undefined, false],
    ['from = 10:00:00', 'yesterday', false],
    // With an offset, an end is a moment wherever the recording was made.
    ['from = 2026-05-14T10:00:00Z\nto = 2026-05-14T14:00:00+03:30', '2026-05-14T12:30:00+02:00', true],
    ['from = 2026-05-14T10:00:00Z', '2026-05-14T11:59:59+02:00', false],
    ['to = "2026-05-14 10:00:00Z"', '2026-05-14T12:00:00.9', true],
  ])('%j at %s: %s', (span, recordedAt, found) => {
    expect(labelFor(`[[fitted]]\nfilter = "ND16"\n${span}`, 'A.MP4', recordedAt)).toBe(
      found ? 'ND16' : undefined,
    );
  });

  test.each([
    [
      'far from this computer, the clock of the place',
      '2026-01-15T01:42:00Z',
      -126.7,
      '17:40',
      '17:45',
      true,
    ],
    ['and not the one of this computer', '2026-01-15T01:42:00Z', -126.7, '03:40', '03:45', false],
    ['near it, the clock of this computer', '2026-01-15T01:42:00Z', 20, '03:40', '03:45', true],
    ['and also where the place is not known', '2026-01-15T01:42:00Z', undefined, '03:40', '03:45', true],
    [
      'with the date of the place',
      '2026-01-15T01:42:00Z',
      -126.7,
      '2026-01-14T17:40',
      '2026-01-14T17:45',
      true,
    ],
  ])('a time in UTC is put by %s', (_, recordedAt, longitude, from, to, found) => {
    const span = `from = "${from}"\nto = "${to}"`;
    const label = labelFor(`[[fitted]]\nfilter = "ND16"\n${span}`, 'A.MP4', recordedAt, longitude);
    expect(label).toBe(found ? 'ND16' : undefined);
  });

  test('the longitude of the notes says where a recording without one was made', () => {
    const notes =
      'latitude = -47.2\nlongitude = -126.7\n[[fitted]]\nfilter = "ND16"\nfrom = 17:40:00\nto = 17:45:00';
    expect(labelFor(notes, 'A.MP4', '2026-01-15T01:42:00Z')).toBe('ND16');
    expect(labelFor(notes, 'A.MP4', '2026-01-15T01:42:00Z', 20)).toBeUndefined();
  });

  test('the first entry that fits counts, and one without conditions fits everything', () => {
    const notes = '[[fitted]]\nfilter = "ND8"\nfiles = "B*"\n[[fitted]]\nfilter = "D1.2"\n';
    expect(labelFor(notes, 'B1.MP4')).toBe('ND8');
    expect(labelFor(notes, 'A1.MP4')).toBe('D1.2');
  });
});

describe('a mistake is an error that says where and what is allowed', () => {
  test.each([
    [
      'skies = "clear"',
      /^flight\.toml, line 1: unknown key "skies" at the top.*: place, latitude, longitude, sky, zone, fitted, timelapse\.$/,
    ],
    [
      'sky = "sunny"',
      /^flight\.toml, line 1: sky must be one of "clear", "haze", "cloud", "overcast", but is "sunny"/,
    ],
    [
      'latitude = 91\nlongitude = 0',
      /^flight\.toml, line 1: latitude must be a number from -90 to 90, but is 91/,
    ],
    [
      'zone = "Mars/Olympus"',
      /^flight\.toml, line 1: zone: must be a time zone by its name, such as Europe\/Berlin/,
    ],
    ['latitude = 45', /latitude and longitude.* Give both/],
    [
      '[[fitted]]\nfilter = "ND16"\nwhen = "noon"',
      /unknown key "when" in fitted\[1\]; allowed there: filter, files, from, to\.$/,
    ],
    [
      '[[fitted]]\nfilter = "purple"',
      /^flight\.toml: fitted\[1\]\.filter: "purple".*Grey Four.*ND16.*D1\.2.*none/,
    ],
    ['[[fitted]]\nfiles = "A*"', /fitted\[1\]\.filter/],
    [
      '[[fitted]]\nfilter = "ND16"\nfrom = "10:00+02:00"',
      /fitted\[1\]\.from: must be a time by the clock at the place, such as 10:30:00/,
    ],
    [
      '[[fitted]]\nfilter = "ND16"\nto = "noon"',
      /or a date and time with its offset, such as 2026-05-14T10:30:00\+02:00/,
    ],
    ['[[fitted]]\nfilter = "ND16"\nto = 2026-05-14', /fitted\[1\]\.to: must be a time/],
    ['place = ', /^flight\.toml, line 1: "place =" cannot be understood/],
  ])('%j', (text, sentence) => {
    let error: unknown;
    try {
      parse(text);
    } catch (caught) {
      error = caught;
    }
    expect(error).toBeInstanceOf(HalfturnError);
    const { message, hint = '' } = error as HalfturnError;
    expect(`${message} ${hint}`.trim()).toMatch(sentence);
  });
});

describe('loadFlightNotes()', async () => {
  const folder = await scratchFolder();
  afterAll(() => folder.remove());

  test('looks inside the dump, then beside it, and is content without', async () => {
    const dump = join(folder.path, 'card');
    await mkdir(dump);
    expect(await loadFlightNotes(dump, undefined, kit)).toBeUndefined();
    await writeFile(join(folder.path, 'flight.toml'), 'place = "beside"');
    expect((await loadFlightNotes(dump, undefined, kit))?.place).toBe('beside');
    await writeFile(join(folder.path, 'card.flight.toml'), 'place = "of this card"');
    expect((await loadFlightNotes(dump, undefined, kit))?.place).toBe('of this card');
    await writeFile(join(dump, 'flight.toml'), 'place = "inside"');
    expect((await loadFlightNotes(dump, undefined, kit))?.place).toBe('inside');
  });

  test.each([
    ['.', 'monday'],
    ['..', 'monday/DCIM'],
    ['./', 'monday'],
  ])('of %s, looks beside the folder that it is, and not inside', async (dump, from) => {
    const cards = await scratchFolder();
    const before = process.cwd();
    try {
      await mkdir(join(cards.path, 'monday', 'DCIM'), { recursive: true });
      await writeFile(join(cards.path, 'monday', 'DCIM', 'flight.toml'), 'place = "deep inside"');
      await writeFile(join(cards.path, 'flight.toml'), 'place = "beside"');
      process.chdir(join(cards.path, from));
      expect((await loadFlightNotes(dump, undefined, kit))?.place).toBe('beside');
    } finally {
      process.chdir(before);
      await cards.remove();
    }
  });

  test('does not do without a file that was named', async () => {
    await expect(loadFlightNotes(folder.path, join(folder.path, 'no.toml'), kit)).rejects.toMatchObject({
      message: expect.stringContaining('could not be read'),
      hint: 'Check the path after --notes.',
    });
  });

  test('speaks of no path after --notes where none was given', async () => {
    const dump = join(folder.path, 'unreadable');
    await mkdir(join(dump, 'flight.toml'), { recursive: true });
    await expect(loadFlightNotes(dump, undefined, kit)).rejects.toMatchObject({
      message: expect.stringContaining('it is a folder'),
      hint: expect.stringMatching(/^Mend it /),
    });
  });
});

test.each([
  ['10:30', true],
  ['10:30:00.5', true],
  ['2026-05-14 10:30', true],
  ['2026-05-14T10:30Z', true],
  ['10:30Z', false],
  ['25:00', false],
  ['2026-02-31T10:30', false],
  ['2026-13-14T10:30:00', false],
  ['', false],
])('%j ends a span: %s', (text, can) => {
  const read = () => parse(`[[fitted]]\nfilter = "ND8"\nfrom = "${text}"`);
  if (can) expect(read).not.toThrow();
  else expect(read).toThrow('must be a time by the clock');
});

const scratch = await scratchFolder();
afterAll(() => scratch.remove());

const onCard = (name: string, recordedAt?: string) => ({
  path: `DCIM/${name}`,
  facts: recordedAt === undefined ? {} : { recordedAt: { value: recordedAt, source } },
});
const recordings = [
  onCard('CLIP0001.MP4', '2026-05-14T10:02:00'),
  onCard('CLIP0003.MP4', '2026-05-14T10:40:00'),
  onCard('CLIP0012.MP4'),
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
    const dump = join(scratch.path, 'card');
    await mkdir(dump);
    await writeFile(join(dump, 'A.MP4'), '');
    await writeFile(join(dump, 'flight.toml'), '[[fitted]]\nfilter = "ND8"\nfiles = "B.MP4"\n');
    const { problems } = await audit(dump);
    expect(problems.map(({ path: where, about }) => [basename(where), about])).toEqual([
      ['A.MP4', undefined],
      ['flight.toml', 'notes'],
    ]);
    expect((await audit(join(dump, 'A.MP4'))).problems).toHaveLength(1);
  });
});

test('names of a time-lapse are taken at their word', () => {
  const notes = parse('timelapse = ["AERO00*.JPG"]');
  const named = (path: string) => isNotedTimeLapse({ path, facts: {} }, notes);
  expect(named('DCIM/AERO0012.JPG')).toBe(true);
  expect(named('DCIM/AERO0112.JPG')).toBe(false);
  expect(isNotedTimeLapse({ path: 'AERO0012.JPG', facts: {} }, undefined)).toBe(false);
});
