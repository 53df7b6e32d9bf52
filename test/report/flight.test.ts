import { expect, test } from 'vitest';
import type { FindingWeight } from '../../src/domain/finding.ts';
import type { AuditDocument, ReportedSequence } from '../../src/document/auditDocument.ts';
import type { ReportedRecording } from '../../src/document/reportedRecording.ts';
import { filterInShort } from '../../src/report/filterWording.ts';
import { countSentence, flightLines, type FlightLine } from '../../src/report/flight.ts';
import { auditInShort, type RecordingInShort } from '../../src/report/inShort.ts';
import { tableColumns, tellingColumns } from '../../src/report/tableColumns.ts';
import { tableLegend } from '../../src/report/tableLegend.ts';
import { exampleDocument } from './exampleDocument.ts';

function line(document: AuditDocument, label: FlightLine['label']): string | undefined {
  return flightLines(auditInShort(document)).find((each) => each.label === label)?.text;
}

function withRecordings(recordings: readonly ReportedRecording[]): AuditDocument {
  return { ...exampleDocument, recordings };
}

function inShort(...recordings: readonly ReportedRecording[]): readonly RecordingInShort[] {
  return auditInShort(withRecordings(recordings)).recordings;
}

const [good] = exampleDocument.recordings;
if (good === undefined) throw new Error('the example is empty');

test('a series that is flagged as a whole is counted, though none of its stills is flagged', () => {
  const quiet: ReportedRecording = { ...good, kind: 'still', findings: [] };
  const of = (kind: ReportedSequence['kind'], weight: FindingWeight): ReportedSequence => ({
    kind,
    paths: [quiet.path],
    findings: [{ kind: 'series-highlights-clipped', weight, text: '' }],
  });
  const said = (...sequences: readonly ReportedSequence[]): string =>
    countSentence(auditInShort({ ...exampleDocument, recordings: [quiet, quiet], sequences }));
  expect(said(of('interval', 'low'))).toBe('2 stills, none flagged.');
  expect(said(of('interval', 'high'))).toBe('2 stills, none flagged; 1 interval series flagged as a whole.');
  expect(said(of('bracket', 'medium'), of('bracket', 'high'), of('interval', 'high'))).toBe(
    '2 stills, none flagged; 2 brackets and 1 interval series flagged as a whole.',
  );
});

test('of pictures that could not be measured nothing is said to be in order', () => {
  const { picture: _, ...rest } = good;
  const unmeasured: ReportedRecording = { ...rest, kind: 'still', findings: [] };
  const numbered = (recording: ReportedRecording, count: number): readonly ReportedRecording[] =>
    Array.from({ length: count }, (_each, at) => ({
      ...recording,
      path: `DCIM/S${at}${recording.kind}.HEIC`,
    }));
  const said = (recordings: readonly ReportedRecording[], message?: string, measure?: 'off'): string =>
    countSentence(
      auditInShort({
        ...exampleDocument,
        settings: { ...exampleDocument.settings, ...(measure && { measure }) },
        recordings,
        sequences: [],
        problems: message === undefined ? [] : recordings.map(({ path }) => ({ path, message, hint: '' })),
      }),
    );
  const all = numbered(unmeasured, 8);
  expect(said(all)).toBe('8 stills. 8 of 8 stills could not be measured.');
  expect(said(all, 'could not be measured, only read: no decoder is here')).toBe(
    '8 stills. 8 of 8 stills could not be measured: no decoder is here.',
  );
  expect(said([...all, ...numbered({ ...good, findings: [] }, 2)])).toBe(
    '2 clips and 8 stills, none flagged. 8 of 8 stills could not be measured.',
  );
  expect(said(all, undefined, 'off')).toBe('8 stills, none flagged.');
});

test('the filters to carry are counted as the table names them', () => {
  const inTable = exampleDocument.recordings.map(({ filter }) => filterInShort(filter));
  for (const part of (line(exampleDocument, 'carry') ?? '').split(', ')) {
    const [, label, count] = /^(\S+) for (?:all )?(\d+)/.exec(part) ?? [];
    expect(inTable.filter((each) => each === label)).toHaveLength(Number(count));
  }
});

test('a clip without faults is usable all through, one that burns all the time is not', () => {
  const burnt: ReportedRecording = {
    ...good,
    path: 'DCIM/BURNT.MP4',
    picture: { ...good.picture!, clippedSpans: [{ startSeconds: 0, endSeconds: 24, maxFraction: 0.2 }] },
    findings: [{ kind: 'highlights-clipped', weight: 'high', text: '' }],
  };
  expect(good.facts.durationSeconds?.value).toBe(24);
  expect(line(withRecordings([good]), 'usable')).toBe('1 of 1 clip all through');
  expect(line(withRecordings([good, burnt]), 'usable')).toBe(
    '1 of 2 clips all through, no stretch of BURNT.MP4',
  );
});

test('of clips that were not measured nothing is said of what is usable', () => {
  const { picture: _, ...unmeasured } = good;
  expect(line(withRecordings([unmeasured]), 'usable')).toBeUndefined();
});

test('that the shutter is not known is said beside what is usable', () => {
  const { shutter: _, ...silent } = good;
  expect(line(withRecordings([silent]), 'usable')).toContain('the shutter of 1 is not known');
});

test('a column that says nothing of any recording is left out', () => {
  const { filter: _, ...bare } = good;
  const heads = (recordings: readonly ReportedRecording[]) =>
    tellingColumns(tableColumns(180), recordings).map(({ head }) => head);
  expect(heads([bare])).not.toContain('carry');
  expect(heads([bare, good])).toContain('carry');
});

test.each(['hlg', 'pq'] as const)(
  'an exposure by the level of a picture in %s stands in brackets',
  (transfer) => {
    const { cell } = tableColumns(180).find(({ head }) => head === 'exposure')!;
    const facts = { ...good.facts, transfer: { value: transfer, source: 'stream colour transfer' } };
    const exposure = { offsetStops: 1.9, basis: 'picture' } as const;
    expect(cell({ ...good, facts, exposure })).toBe('(+1.9)');
    expect(tableLegend(inShort({ ...good, facts, exposure }))).toContain('( ) HLG or PQ');
    expect(cell({ ...good, facts, exposure: { ...exposure, basis: 'metered' } })).toBe('+1.9');
    expect(tableLegend(inShort(good))).not.toContain('HLG');
  },
);
