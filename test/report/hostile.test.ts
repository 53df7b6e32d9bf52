import { XMLValidator } from 'fast-xml-parser';
import { expect, test } from 'vitest';
import type { AuditDocument } from '../../src/document/auditDocument.ts';
import { clipsCsv } from '../../src/report/files/clipsCsv.ts';
import { jsonReport } from '../../src/report/files/jsonReport.ts';
import { htmlReport } from '../../src/report/html/page.tsx';
import { pageScript } from '../../src/report/html/script.ts';
import { reportFiles } from '../../src/report/index.ts';
import { showRecording } from '../../src/report/showRecording.ts';
import { terminalReport } from '../../src/report/terminal.ts';
import { exampleDocument, hostileName } from './exampleDocument.ts';
import { csvRows } from './files/csvRows.ts';

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
  expect(page).not.toMatch(/<(?:img|iframe|object|link)/i);
  expect(page.split(/<script/i)).toHaveLength(2);
  expect(page).toContain(`<script>${pageScript}</script>`);
  expect(page).toContain('&lt;img src=x onerror=&quot;alert(1)');
  expect(page).not.toMatch(/(?:src|href)="(?!#)/);
  const attributes = [...page.matchAll(/<[a-z]+ ([^<>]*)>/g)].flatMap(([, inside = '']) => [
    ...inside.matchAll(/([\w-]+)="/g),
  ]);
  expect(attributes.map(([, name]) => name).filter((name) => name?.startsWith('on'))).toEqual([]);
});

test('the page allows its own style and script only, and pictures that lie in it', () => {
  const [, policy] = /Content-Security-Policy" content="([^"]*)"/.exec(htmlReport(hostile)) ?? [];
  expect(policy?.replace(/'sha256-[A-Za-z0-9+/=]{44}'/g, 'HASH')).toBe(
    "default-src 'none'; style-src HASH; script-src HASH; img-src data:; base-uri 'none'; form-action 'none'",
  );
});

test('the files for editing programs hold every name as text, and lie below the folder', () => {
  const files = Object.fromEntries([...reportFiles(hostile)].map(([name, text]) => [name, text]));
  expect(Object.keys(files).filter((name) => name.startsWith('xmp/'))).toHaveLength(
    hostile.recordings.length,
  );
  for (const [name, text] of Object.entries(files)) {
    expect(name).not.toMatch(obeyed);
    expect(name).not.toMatch(/\.\.|^\/|[<>:"|?*\\]/);
    expect(text.replaceAll('\r\n', '\n')).not.toMatch(obeyed);
  }
  expect(JSON.parse(files['timeline.otio']!).tracks.children[0].children[0].name).toContain(
    'onerror="alert(1)"',
  );
  for (const [name, text] of Object.entries(files).filter(([name]) => name.startsWith('xmp/')))
    expect(XMLValidator.validate(text), name).toBe(true);
  expect(files['summary.md']).not.toMatch(/(?<!\\)<img/);
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
