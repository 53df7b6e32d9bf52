import { writeFile, mkdir } from 'node:fs/promises';
import { join } from 'node:path';
import { afterAll, describe, expect, test } from 'vitest';
import { HalfturnError } from '../../src/domain/halfturnError.ts';
import { fittedFor, loadFlightNotes, parseFlightNotes } from '../../src/reading/flightNotes.ts';
import { isBetween, wallClock } from '../../src/reading/wallClock.ts';
import { scratchFolder } from './madeMedia.ts';

const kit = [{ label: 'Grey Four', stops: 4.1 }];
const parse = (text: string) => parseFlightNotes(text, 'flight.toml', kit);
const clip = (path: string, recordedAt?: string) => ({
  path,
  facts: recordedAt === undefined ? {} : { recordedAt: { value: recordedAt, source: 'test' } },
});
const labelFor = (notes: string, path: string, recordedAt?: string) =>
  fittedFor(clip(path, recordedAt), parse(notes))?.label;

test('notes are read whole', () => {
  const notes = parse(
    'place = "Lower Vale"\nlatitude = 47.5\nlongitude = -8.7\nsky = "haze"\n[[fitted]]\nfilter = "grey four"\nfiles = ["A*.MP4"]\n',
  );
  expect(notes).toEqual({
    file: 'flight.toml',
    place: 'Lower Vale',
    latitude: 47.5,
    longitude: -8.7,
    sky: 'haze',
    fitted: [{ filter: { label: 'Grey Four', stops: 4.1, source: 'notes' }, files: ['A*.MP4'] }],
  });
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
    ['from = 10:00:00', undefined, false],
  ])('%j at %s: %s', (span, recordedAt, found) => {
    expect(labelFor(`[[fitted]]\nfilter = "ND16"\n${span}`, 'A.MP4', recordedAt)).toBe(
      found ? 'ND16' : undefined,
    );
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
      /^flight\.toml: unknown key "skies" at the top.*: place, latitude, longitude, sky, fitted\.$/,
    ],
    ['sky = "sunny"', /^flight\.toml: sky: .*"clear"\|"haze"\|"cloud"\|"overcast"/],
    ['latitude = 91\nlongitude = 0', /^flight\.toml: latitude: .*90/],
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
    ['[[fitted]]\nfilter = "ND16"\nfrom = 2026-05-14T10:00:00Z', /fitted\[1\]\.from: .*local time/],
    ['[[fitted]]\nfilter = "ND16"\nfrom = "noon"', /local time such as 10:30:00/],
    ['place = ', /^flight\.toml, line 1: .*TOML/],
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

  test('does not do without a file that was named', async () => {
    await expect(loadFlightNotes(folder.path, join(folder.path, 'no.toml'), kit)).rejects.toThrow(
      /could not be read/,
    );
  });
});

test('wallClock() keeps a recorded offset and turns UTC into the time of this computer', () => {
  expect(wallClock('2026-05-14T10:00:00+05:30')).toBe('2026-05-14T10:00:00');
  expect(wallClock('2026-05-14T10:00:00.25')).toBe('2026-05-14T10:00:00');
  const local = new Date('2026-05-14T10:00:00Z').getHours();
  expect(Number(wallClock('2026-05-14T10:00:00Z')?.slice(11, 13))).toBe(local);
  expect(wallClock('yesterday')).toBeUndefined();
});

test('isBetween() counts both ends', () => {
  expect(isBetween('2026-05-14T10:00:00', '10:00', '10:00')).toBe(true);
  expect(isBetween('2026-05-14T10:00:00', '2026-05-14 10:00:00', undefined)).toBe(true);
});
