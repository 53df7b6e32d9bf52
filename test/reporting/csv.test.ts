import { expect, test } from 'vitest';
import { clipsCsv } from '../../src/reporting/csv.ts';
import { csvRows } from './csvRows.ts';
import { exampleDocument } from './exampleDocument.ts';

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
