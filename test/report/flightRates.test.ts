import { stripVTControlCharacters } from 'node:util';
import { describe, expect, test } from 'vitest';
import type { AuditDocument } from '../../src/document/auditDocument.ts';
import type { ReportedRecording } from '../../src/document/reportedRecording.ts';
import { mixedRates } from '../../src/report/flightRates.ts';
import { htmlReport } from '../../src/report/html/page.tsx';
import { auditInShort } from '../../src/report/inShort.ts';
import { jsonReport } from '../../src/report/json.ts';
import { markdownSummary } from '../../src/report/markdown.ts';
import { terminalReport } from '../../src/report/terminal.ts';
import { exampleDocument } from './exampleDocument.ts';
import { wholeText } from './wholeText.ts';

const [good] = exampleDocument.recordings;
if (good === undefined) throw new Error('the example is empty');
const sentence = 'This sentence stands with each recording.';

function shotAt(name: string, framesPerSecond: number, isOdd = false): ReportedRecording {
  return {
    ...good!,
    path: `DCIM/${name}.MP4`,
    facts: { ...good!.facts, framesPerSecond: { value: framesPerSecond, source: 'test' } },
    findings: isOdd ? [{ kind: 'frame-rate-mix', weight: 'low', text: sentence }] : [],
  };
}

const flight = (...recordings: readonly ReportedRecording[]): AuditDocument => ({
  ...exampleDocument,
  recordings,
  sequences: [],
});

const mixed = flight(
  shotAt('A', 30),
  shotAt('B', 30),
  shotAt('C', 30_000 / 1001),
  shotAt('D', 25, true),
  shotAt('E', 24, true),
  shotAt('F', 24, true),
);

describe('mixedRates()', () => {
  test('names the clips by their rates, the most frequent rate first, and what they do not go with', () => {
    expect(mixedRates(auditInShort(mixed))).toBe(
      '24 fps in E.MP4, F.MP4; 25 fps in D.MP4. Cut with the rest (30, 29.97 fps) these stutter: ' +
        'use them for short shots, or let the editing program interpolate frames',
    );
  });

  test('goes by the rate of playing, which is what is cut', () => {
    const slow = shotAt('S', 120, true);
    const played = { ...slow.facts, playbackFramesPerSecond: { value: 25, source: 'test' } };
    expect(mixedRates(auditInShort(flight(shotAt('A', 30), { ...slow, facts: played })))).toMatch(
      /^25 fps in S\.MP4\. /,
    );
  });

  test('counts what is too much to name', () => {
    const many = Array.from({ length: 7 }, (_, at) => shotAt(`R${at}`, 31 + at, true));
    const same = ['A', 'B', 'C', 'D', 'E'].map((name) => shotAt(name, 25, true));
    const said = mixedRates(auditInShort(flight(shotAt('REST', 30), ...many, ...same)));
    expect(said).toMatch(/^25 fps in A\.MP4, B\.MP4, C\.MP4 and 2 others; 31 fps in R0\.MP4; /);
    expect(said).toContain('; 34 fps in R3.MP4; other rates in 3 more. Cut with the rest (30 fps)');
  });

  test('has nothing to say of a flight whose rates go together', () => {
    expect(mixedRates(auditInShort(flight(shotAt('A', 30), shotAt('B', 60))))).toBeUndefined();
  });
});

describe('rates that do not mix', () => {
  const once = '24 fps in E.MP4, F.MP4; 25 fps in D.MP4.';

  test('are said once on the terminal: no entry, no remark', () => {
    const text = terminalReport(mixed, { columns: 200, colour: false, order: 'shooting' });
    expect(stripVTControlCharacters(text).replaceAll(/\s+/g, ' ').split(once)).toHaveLength(2);
    expect(text).not.toContain('frame rate differs');
    expect(text).not.toContain('Remarks');
    expect(text).not.toMatch(/^!/m);
  });

  test('are said once on the page, where the clips can still be picked out', () => {
    const page = wholeText(htmlReport(mixed));
    expect(page.split(once)).toHaveLength(2);
    expect(page).not.toContain(sentence);
    // What each kind means is explained at the end, for the option above.
    expect(page.slice(0, page.indexOf('id="meanings"'))).not.toContain('Frame rate differs');
    expect(page).toContain('<option value="frame-rate-mix">frame rate differs from the flight (3)</option>');
  });

  test('are said once in Markdown', () => {
    expect(markdownSummary(mixed).replaceAll('\\', '').split(once)).toHaveLength(2);
  });

  test('stand with each recording in the document', () => {
    expect([...jsonReport(mixed)].join('').split(sentence)).toHaveLength(4);
  });
});
