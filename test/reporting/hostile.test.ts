import { expect, test } from 'vitest';
import type { AuditDocument } from '../../src/domain/report.ts';
import { clipsCsv } from '../../src/reporting/csv.ts';
import { htmlReport } from '../../src/reporting/html/page.tsx';
import { jsonReport } from '../../src/reporting/json.ts';
import { showRecording } from '../../src/reporting/show.ts';
import { terminalReport } from '../../src/reporting/terminal.ts';
import { csvRows } from './csvRows.ts';
import { exampleDocument, hostileName } from './exampleDocument.ts';

// Every text of the document, keys of the counts included, is made hostile; words that are part of the contract stay.
const contract = new Set([
  'kind',
  'weight',
  'verdict',
  'basis',
  'matters',
  'format',
  'measure',
  'clippedShape',
  'transfer',
  'range',
]);
const hostile = spoiled(exampleDocument, '') as AuditDocument;

function spoiled(value: unknown, name: string): unknown {
  if (typeof value === 'string') return contract.has(name) ? value : hostileName;
  if (Array.isArray(value)) return value.map((entry) => spoiled(entry, name));
  if (typeof value !== 'object' || value === null) return value;
  const entries = Object.entries(value).map(([key, entry]) => [
    name === 'leftAside' ? hostileName : key,
    spoiled(entry, key),
  ]);
  return Object.fromEntries(entries);
}

// oxlint-disable-next-line no-control-regex
const obeyed = /[\u0000-\u0009\u000b-\u001f\u007f-\u009f\u200e\u200f\u202a-\u202e\u2066-\u2069]/;

test('the hostile document is hostile', () => {
  expect(JSON.stringify(hostile).split('onerror').length).toBeGreaterThan(100);
  expect(hostileName).toMatch(obeyed);
});

test('no terminal text holds anything that a terminal obeys', () => {
  expect(terminalReport(hostile, { columns: 100, colour: false, order: 'serious' })).not.toMatch(obeyed);
  for (const recording of hostile.recordings) {
    const text = showRecording(recording, { columns: 100, colour: false, settings: hostile.settings });
    expect(text).not.toMatch(obeyed);
  }
});

test('the page holds no foreign element, attribute, script or address', () => {
  const page = htmlReport(hostile);
  expect(page).not.toMatch(obeyed);
  expect(page).not.toMatch(/<(?:img|script|iframe|object|link)/i);
  expect(page).toContain('&lt;img src=x onerror=&quot;alert(1)');
  expect(page).not.toMatch(/(?:src|href)="(?!#)/);
  const attributes = [...page.matchAll(/<[a-z]+ ([^<>]*)>/g)].flatMap(([, inside = '']) => [
    ...inside.matchAll(/([\w-]+)="/g),
  ]);
  expect(attributes.map(([, name]) => name).filter((name) => name?.startsWith('on'))).toEqual([]);
});

test('the page allows its own style only', () => {
  expect(htmlReport(hostile)).toContain(`content="default-src 'none'; style-src 'sha256-`);
  expect(htmlReport(hostile)).not.toContain('unsafe-inline');
});

test('JSON keeps the very value but spells out what a terminal obeys', () => {
  const text = jsonReport(hostile);
  expect(text).not.toMatch(obeyed);
  expect(JSON.parse(text)).toEqual(hostile);
});

test('no text cell of the CSV begins like a formula', () => {
  const cells = csvRows(clipsCsv(hostile)).flat();
  expect(cells.filter((cell) => cell.includes('onerror')).length).toBeGreaterThan(10);
  expect(cells.filter((cell) => /^[=+\-@\t\r]/.test(cell) && Number.isNaN(Number(cell)))).toEqual([]);
  expect(cells.join('')).not.toMatch(obeyed);
});
