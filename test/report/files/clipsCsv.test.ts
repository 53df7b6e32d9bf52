import { expect, test } from 'vitest';
import type { ReportedRecording } from '../../../src/document/reportedRecording.ts';
import { clipsCsv } from '../../../src/report/files/clipsCsv.ts';
import { jsonReport } from '../../../src/report/files/jsonReport.ts';
import { marksOf, usableText } from '../../../src/report/marks.ts';
import { clippedOnly, fact } from '../exampleClip.ts';
import { exampleDocument } from '../exampleDocument.ts';
import { csvRows } from './csvRows.ts';

const [header = [], ...rows] = csvRows(clipsCsv(exampleDocument));

function cell(row: number, name: string): string | undefined {
  return rows[row]?.[header.indexOf(name)];
}

test('clipsCsv() parses back to one row of full length for each recording', () => {
  expect(rows).toHaveLength(exampleDocument.recordings.length);
  for (const row of rows) expect(row).toHaveLength(header.length);
});

test('clipsCsv() keeps numbers as numbers, those below zero too', () => {
  expect(cell(1, 'shutter angle (degrees)')).toBe('11.3');
  expect(cell(1, 'shutter off target (stops)')).toBe('-4');
  expect(cell(1, 'exposure time (s)')).toBe('0.00125');
});

test('clipsCsv() leaves unknown cells empty', () => {
  expect(cell(3, 'shutter angle (degrees)')).toBe('');
  expect(clipsCsv(exampleDocument)).not.toMatch(/NaN|undefined|null/);
});

test('clipsCsv() writes a shutter that no spreadsheet takes for a date', () => {
  expect(cell(1, 'shutter')).toBe('1/800 s');
});

test('clipsCsv() puts an apostrophe before a name that begins like a formula', () => {
  const [first] = exampleDocument.recordings;
  if (first === undefined) throw new Error('the example is empty');
  const text = clipsCsv({ ...exampleDocument, recordings: [{ ...first, path: '=1+1.MP4' }] });
  expect(csvRows(text)[1]?.[0]).toBe("'=1+1.MP4");
});

test('the CSV says the same numbers as the JSON', () => {
  const { recordings } = JSON.parse(jsonReport(exampleDocument)) as typeof exampleDocument;
  const numbers: Readonly<Record<string, (recording: ReportedRecording) => number | undefined>> = {
    'duration (s)': ({ facts }) => facts.durationSeconds?.value,
    'frame rate (fps)': ({ facts }) => facts.framesPerSecond?.value,
    'shutter angle (degrees)': ({ shutter }) => shutter?.angleDegrees,
    ISO: ({ facts }) => facts.iso?.value,
    'f-number': ({ facts }) => facts.fNumber?.value,
    'fitted (stops)': ({ filter }) => filter?.fitted?.stops,
    'focal length (mm)': ({ facts }) => facts.focalLengthMm?.value,
    'exposure time (s)': ({ facts }) => facts.exposureSeconds?.value,
    'shutter off target (stops)': ({ shutter }) => shutter?.offsetStops,
    'exposure offset (stops)': ({ exposure }) => exposure.offsetStops,
    'clipped at most (%)': ({ picture }) => picture && 100 * picture.clippedFraction.max,
    'clipped typically (%)': ({ picture }) => picture && 100 * picture.clippedFraction.median,
    'black at most (%)': ({ picture }) => picture && 100 * picture.crushedFraction.max,
    'motion (px per frame)': ({ picture }) => picture?.motionPixelsPerFrame?.median,
    'light on the scene (EV at ISO 100)': ({ exposure }) => exposure.sceneEv100,
    'filter needed (stops)': ({ filter }) => filter?.neededStops,
    'filter to add (stops)': ({ filter }) => filter?.additionalStops,
    'best of the kit leaves (stops)': ({ filter }) => filter?.pick?.leavesStops,
  };
  let compared = 0;
  for (const [index, recording] of recordings.entries())
    for (const [name, value] of Object.entries(numbers)) {
      const wanted = value(recording);
      const written = cell(index, name);
      if (wanted === undefined) expect(written).toBe('');
      else {
        const decimals = written!.split('.')[1]?.length ?? 0;
        // Half a unit of the last digit that is written; trailing zeros are not.
        expect(Math.abs(Number(written) - wanted)).toBeLessThanOrEqual(0.51 * 10 ** -Math.max(decimals, 0));
        compared++;
      }
    }
  expect(compared).toBeGreaterThan(100);
});

test('the columns begin as a camera report does', () => {
  expect(header.filter((name) => !/angle|fitted \(stops\)/.test(name)).slice(0, 11)).toEqual([
    'recording',
    'start timecode',
    'duration (s)',
    'frame rate (fps)',
    'shutter',
    'ISO',
    'f-number',
    'fitted',
    'white balance',
    'focal length (mm)',
    'remarks',
  ]);
});

test('clipsCsv() begins with the mark by which a spreadsheet knows UTF-8', () => {
  expect(Buffer.from(clipsCsv(exampleDocument)).subarray(0, 3)).toEqual(Buffer.from([0xef, 0xbb, 0xbf]));
});

test('the ends of what is usable are those of the sentence', () => {
  const spans = [
    { startSeconds: 4.02, endSeconds: 6.5 },
    { startSeconds: 30, endSeconds: 62.1 },
  ];
  const clip = clippedOnly({ framesPerSecond: fact(25), durationSeconds: fact(80) }, spans);
  const text = clipsCsv({ ...exampleDocument, recordings: [clip] });
  expect(csvRows(text)[1]?.[header.indexOf('usable (s)')]).toBe('0 to 4; 6.6 to 30; 63 to 80');
  expect(usableText(clip, marksOf(clip, exampleDocument.settings))).toBe(
    'Without a fault that shows: 0 s to 4 s, 6.6 s to 30 s, 1:03 to 1:20.',
  );
});

test('what is usable of a clip is written without a sign that a spreadsheet would read', () => {
  expect(cell(0, 'usable (s)')).toBe('0 to 24');
});
