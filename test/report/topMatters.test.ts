import { expect, test } from 'vitest';
import type { FindingWeight } from '../../src/domain/finding.ts';
import type { FindingKind } from '../../src/findings/index.ts';
import type { AuditDocument, ReportedSequence } from '../../src/document/auditDocument.ts';
import type { ReportedRecording } from '../../src/document/reportedRecording.ts';
import { htmlReport } from '../../src/report/html/page.tsx';
import { auditInShort } from '../../src/report/inShort.ts';
import { topMatters } from '../../src/report/topMatters.ts';
import { exampleDocument } from './exampleDocument.ts';
import { wholeText } from './wholeText.ts';

const example = exampleDocument.recordings[0]!;

type Found = readonly (readonly [FindingKind, FindingWeight])[];

function findings(found: Found): ReportedRecording['findings'] {
  return found.map(([kind, weight]) => ({ kind, weight, text: '' }));
}

function clip(path: string, ...found: Found): ReportedRecording {
  return { ...example, path, findings: findings(found) };
}

function series(kind: ReportedSequence['kind'], paths: readonly string[], ...found: Found): ReportedSequence {
  return { kind, paths, findings: findings(found) };
}

function documentOf(
  recordings: readonly ReportedRecording[],
  sequences: readonly ReportedSequence[] = [],
): AuditDocument {
  return { ...exampleDocument, recordings, sequences, problems: [] };
}

function texts(document: AuditDocument): readonly string[] {
  return topMatters(auditInShort(document)).map(({ text }) => text);
}

test('a series that is flagged as a whole matters although none of its stills is flagged', () => {
  const stills = ['A/S1.JPG', 'A/S2.JPG', 'A/S3.JPG'];
  const [matter, ...others] = topMatters(
    auditInShort(
      documentOf(
        stills.map((path) => clip(path)),
        [series('bracket', ['A/B1.JPG']), series('interval', stills, ['series-highlights-clipped', 'high'])],
      ),
    ),
  );
  expect(matter).toEqual({
    text: 'Highlights clipped in the series: S1.JPG to S3.JPG.',
    first: { list: 'sequences', index: 1 },
  });
  expect(others).toEqual([]);
});

test('what more than one bracket has is said once', () => {
  const missing = ['bracket-frame-missing', 'medium'] as const;
  expect(
    texts(
      documentOf([], [series('bracket', ['1', '2'], missing), series('bracket', ['A/4', 'A/5'], missing)]),
    ),
  ).toEqual(['Bracket frame missing, 2 times: 1 to 2, 4 to 5.']);
});

test('one high finding of a series outweighs seven medium ones of clips, and remarks count for nothing', () => {
  const clips = Array.from({ length: 7 }, (_, at) =>
    clip(`C${at}`, ['shutter-short', 'medium'], ['flicker', 'low']),
  );
  const said = (extra: readonly ReportedRecording[]) =>
    texts(documentOf([...clips, ...extra], [series('interval', ['1', '2'], ['series-too-bright', 'high'])]));
  expect(said([])).toEqual([
    'Series too bright: 1 to 2.',
    'Shutter too short in 7 recordings: C0, C1, C2, C3 and 3 others.',
  ]);
  expect(said([clip('C7', ['shutter-short', 'high'])])[0]).toMatch(/^Shutter too short in 8 recordings/);
});

test('recordings of one name in two folders are two, one that has a finding twice is one', () => {
  expect(
    texts(
      documentOf([
        clip('A/C1.MP4', ['too-bright', 'medium'], ['too-bright', 'medium']),
        clip('B/C1.MP4', ['too-bright', 'medium']),
      ]),
    ),
  ).toEqual(['Too bright in 2 recordings: C1.MP4, C1.MP4.']);
});

test('in the page each leads to the first entry that it is about', () => {
  const page = wholeText(
    htmlReport(
      documentOf(
        [clip('C1.MP4'), clip('C2.MP4', ['too-bright', 'high'])],
        [series('interval', ['1', '2']), series('interval', ['3', '4'], ['series-too-bright', 'high'])],
      ),
    ),
  );
  for (const [id, start] of [
    ['recording-2', 'Too bright in'],
    ['series-2', 'Series too bright: 3 to 4'],
  ] as const) {
    expect(page).toContain(`<a href="#${id}">${start}`);
    expect(page.split(`id="${id}"`)).toHaveLength(2);
  }
});
