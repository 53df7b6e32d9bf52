import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { reportFiles } from '../../src/report/index.ts';
import { showRecording } from '../../src/report/showRecording.ts';
import { terminalReport } from '../../src/report/terminal.ts';
import { exampleDocument } from './exampleDocument.ts';

const golden = new URL('./golden/', import.meta.url);

/** Goldens are for layout, never for maths. `UPDATE_GOLDEN=1 npm test -- test/report` rewrites them. */
function expectGolden(name: string, text: string): void {
  const file = new URL(name, golden);
  if (process.env['UPDATE_GOLDEN'] === '1') {
    mkdirSync(golden, { recursive: true });
    writeFileSync(file, text);
  }
  expect(text).toBe(readFileSync(file, 'utf8'));
}

const files = [...reportFiles(exampleDocument)].filter(([name]) => !name.includes('/'));

test.each(files)('%s of the example has its known layout', (name, text) => {
  expectGolden(name, text);
});

test.each([80, 100, 160])('the terminal report has its known layout at %d columns', (columns) => {
  const text = terminalReport(exampleDocument, { columns, colour: false, order: 'shooting' });
  expectGolden(`terminal-${columns}.txt`, text);
});

test('the terminal report at length has its known layout', () => {
  const text = terminalReport(exampleDocument, {
    columns: 100,
    colour: false,
    order: 'shooting',
    long: true,
  });
  expectGolden('terminal-long.txt', text);
});

test('showRecording() has its known layout', () => {
  const short = exampleDocument.recordings[1];
  if (short === undefined) throw new Error('the example has lost its second recording');
  const text = showRecording(short, { columns: 100, colour: false, settings: exampleDocument.settings });
  expectGolden('show.txt', text);
});

test('no report prints what is unknown as a value', () => {
  const { recordings } = exampleDocument;
  const bare = recordings.map(({ path, kind, sizeBytes }) => {
    return { path, kind, sizeBytes, sidecars: [], facts: {}, exposure: {}, findings: [], refusals: [] };
  });
  const document = { ...exampleDocument, recordings: bare };
  const texts = [...reportFiles(document)].map(([, text]) => text);
  const terminal = terminalReport(document, { columns: 100, colour: false, order: 'shooting' });
  for (const text of [...texts, terminal]) expect(text).not.toMatch(/undefined|NaN|\[object/);
});
