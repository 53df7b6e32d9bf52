import { describe, expect, test } from 'vitest';
import type { AuditDocument } from '../../src/document/auditDocument.ts';
import type { ReportedFilter, ReportedRecording } from '../../src/document/reportedRecording.ts';
import { carryWords, pilotsWords } from '../../src/report/carryWording.ts';
import { useSentence, verdictLines } from '../../src/report/flightVerdict.ts';
import { clippedOnly, fact } from './exampleClip.ts';
import { exampleDocument } from './exampleDocument.ts';

const kit = [
  { label: 'ND8', stops: 3 },
  { label: 'ND64', stops: 6 },
];
const settings = { ...exampleDocument.settings, kit, kitAssumed: false };
const clean = { ...clippedOnly({ durationSeconds: fact(20), startTimecode: undefined }, []), findings: [] };
const { filter: _, ...bare } = clean;

function flight(...recordings: readonly ReportedRecording[]): AuditDocument {
  return { ...exampleDocument, settings, recordings, sequences: [], problems: [] };
}

function line(document: AuditDocument, label: string): string | undefined {
  return verdictLines(document).find((each) => each.label === label)?.text;
}

function filtered(filter: Partial<ReportedFilter>): ReportedRecording {
  return { ...bare, filter: { otherwise: [], ...filter } };
}

describe('pilotsWords()', () => {
  test('names what to carry with nothing on and with a filter on', () => {
    expect(pilotsWords(3, { kit, kitAssumed: false })).toBe('ND8 on a bare lens, ND64 in place of ND8');
  });

  test('says of a strength that the kit lacks that it does', () => {
    expect(pilotsWords(4, { kit, kitAssumed: false })).toBe('ND16 (not in your kit) on a bare lens');
    expect(pilotsWords(4, { kit, kitAssumed: true })).toBe('ND16 on a bare lens');
  });

  test('names no filter that nobody owns for a lens with a filter on', () => {
    expect(pilotsWords(6, { kit, kitAssumed: false })).toBe('ND64 on a bare lens');
  });

  test('takes nothing from a bare lens', () => {
    expect(pilotsWords(-3, { kit, kitAssumed: false })).toBe('no filter in place of ND8');
    expect(pilotsWords(-9, { kit, kitAssumed: false })).toBe('less than the weakest of your kit');
    expect(pilotsWords(0.1, { kit, kitAssumed: false })).toBe('what was on the lens');
  });
});

test('the filters to carry are counted, the most frequent first', () => {
  const fitted = { label: 'ND8', stops: 3, source: 'test' };
  const pick = (label: string) =>
    filtered({ fitted, change: 'stronger', pick: { label, stops: 6, leavesStops: 0 } });
  expect(line(flight(pick('ND64'), pick('ND64'), filtered({ fitted, change: 'none' })), 'carry')).toBe(
    'ND64 fits 2 of 3 recordings, ND8 1',
  );
  expect(line(flight(bare), 'carry')).toBeUndefined();
});

test('one recording is told in the same words', () => {
  const words = (filter: Partial<ReportedFilter>) => carryWords(filtered(filter).filter, settings);
  expect(words({ additionalStops: 3, change: 'stronger' })).toBe('ND8 on a bare lens, ND64 in place of ND8');
  expect(words({ fitted: { label: 'ND8', stops: 3, source: 'test' }, change: 'none' })).toBe('ND8');
  expect(carryWords(undefined, settings)).toBeUndefined();
});

test('where nobody said what was on, the pilot reads what to carry for either', () => {
  const stronger = [2, 3, 9].map((additionalStops) => filtered({ additionalStops, change: 'stronger' }));
  expect(line(flight(...stronger), 'carry')).toBe('ND8 on a bare lens, ND64 in place of ND8');
  // A day on which filters were swapped has no usual filter.
  const weaker = filtered({ additionalStops: -2, change: 'weaker' });
  expect(line(flight(...stronger, weaker), 'carry')).toBe(
    '3 clips had 3 stops of light too much (ND8 on a bare lens, ND64 in place of ND8), 1 had 2 stops too little',
  );
});

test('the change is the one that would have saved most, and never one that nobody sees', () => {
  const off = (matters: 'yes' | 'no'): ReportedRecording => ({
    ...bare,
    shutter: { verdict: 'short', matters },
    findings: [{ kind: 'shutter-short', weight: 'high', text: '' }],
  });
  const dark: ReportedRecording = { ...bare, findings: [{ kind: 'too-dark', weight: 'medium', text: '' }] };
  expect(line(flight(off('yes'), dark), 'change')).toBe(
    'set the shutter by hand: 1/50 s at 25 fps (shutter too short in 1)',
  );
  expect(line(flight(off('no'), dark), 'change')).toBe('let in more light (too dark in 1)');
  expect(line(flight(bare), 'change')).toBeUndefined();
});

test('the best stretch is told in seconds, and in the timecode of a clip that has one', () => {
  const burnt = clippedOnly({ durationSeconds: fact(20), startTimecode: undefined }, [
    { startSeconds: 0, endSeconds: 4 },
  ]);
  expect(line(flight(burnt), 'best')).toMatch(/, 4 s to 20 s \(16 s\)$/);
  const coded = { ...burnt, facts: { ...burnt.facts, startTimecode: fact('10:00:00:00') } };
  expect(line(flight(coded), 'best')).toMatch(/, 10:00:04:00 to 10:00:20:00 \(16 s\)$/);
  expect(line(flight(clean), 'best')).toMatch(/, all 20 s of it$/);
});

test('what was not measured is counted apart, and where nothing was there is no verdict', () => {
  const { picture: _picture, ...unmeasured } = clean;
  expect(useSentence(flight(clean, unmeasured))).toBe('Use 1, trim 0, leave out 0; 1 not measured.');
  expect(useSentence(flight(unmeasured))).toBeUndefined();
});
