import { expect, test } from 'vitest';
import type { Problem } from '../../src/domain/recording.ts';
import { htmlReport } from '../../src/report/html/page.tsx';
import { markdownSummary } from '../../src/report/files/markdownSummary.ts';
import { problemGroups } from '../../src/report/dumpWording.ts';
import { showRecording } from '../../src/report/showRecording.ts';
import { terminalReport } from '../../src/report/terminal.ts';
import { exampleDocument } from './exampleDocument.ts';

const empty = (path: string): Problem => ({ path, message: 'is empty', hint: 'Nothing can be saved.' });
const clips = (count: number) => Array.from({ length: count }, (_, at) => `CLIP${at + 1}.MP4`);
const plain = { columns: 100, colour: false, order: 'shooting' } as const;

test('equal problems are said once, with the first names and how many there are', () => {
  const inPart = { path: 'B.MP4', message: 'was read only in part', hint: '' };
  expect(problemGroups([empty('A.MP4'), inPart, empty('C.MP4')])).toEqual([
    { name: 'A.MP4, C.MP4:', text: 'each is empty. Nothing can be saved.', files: 2 },
    { name: 'B.MP4', text: 'was read only in part.', files: 1 },
  ]);
  const [many] = problemGroups(clips(40).map(empty));
  expect(many!.name).toBe(
    'CLIP1.MP4, CLIP2.MP4, CLIP3.MP4, CLIP4.MP4, CLIP5.MP4, CLIP6.MP4 and 34 others (40 in all):',
  );
});

test('20,000 bad files are told in a few lines on the terminal, on the page and in Markdown', () => {
  const document = { ...exampleDocument, problems: clips(20_000).map(empty) };
  const without = { ...exampleDocument, problems: [] };
  const lines = (text: string) => text.split('\n').length;
  expect(lines(terminalReport(document, plain)) - lines(terminalReport(without, plain))).toBeLessThan(8);
  expect(lines(markdownSummary(document)) - lines(markdownSummary(without))).toBeLessThan(5);
  const page = htmlReport(document);
  expect(page).toContain('(20000 in all):');
  expect(page).not.toContain('CLIP19999.MP4');
});

test('what a program said in its own words is told by "show" alone', () => {
  const [first] = exampleDocument.recordings;
  const detail = 'mb_type 27 in I slice too large at 0 0';
  const problem = { ...empty(first!.path), detail };
  const finding = { kind: 'decoded-in-part', weight: 'medium', text: 'Only in part.', detail } as const;
  const recording = { ...first!, findings: [finding] };
  const document = { ...exampleDocument, recordings: [recording], problems: [problem] };
  for (const text of [terminalReport(document, plain), markdownSummary(document), htmlReport(document)])
    expect(text).not.toContain('mb_type');
  const shown = showRecording(recording, { ...plain, settings: document.settings, problems: [problem] });
  expect(shown.match(/In detail: mb_type 27/g)).toHaveLength(2);
  expect(shown).toMatch(/Problem\n +It is empty\. Nothing can be saved\./);
});

test('what is wrong with the notes is no file that could not be read, and leaves paths as short as they are', () => {
  const ofNotes: Problem = { path: '../flight.toml', message: 'names "A"', hint: '', about: 'notes' };
  const before = terminalReport({ ...exampleDocument, problems: [] }, plain);
  const text = terminalReport({ ...exampleDocument, problems: [ofNotes] }, plain);
  expect(text).toContain('../flight.toml names "A".');
  expect(text.replace('Problems\n   ../flight.toml names "A".\n', '')).toBe(before);
});
