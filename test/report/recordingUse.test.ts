import { describe, expect, test } from 'vitest';
import type { AuditDocument } from '../../src/document/auditDocument.ts';
import type { ReportedRecording } from '../../src/document/reportedRecording.ts';
import type { FindingWeight } from '../../src/domain/findingWeight.ts';
import type { FindingKind } from '../../src/findings/index.ts';
import { bestStretch, useOf, usesOf, withUses } from '../../src/report/recordingUse.ts';
import { clippedOnly, exampleClip, fact } from './exampleClip.ts';
import { exampleDocument } from './exampleDocument.ts';

const settings = { ...exampleDocument.settings, clippedFraction: 0.01 };
const clean = { ...clippedOnly({ durationSeconds: fact(20) }, []), findings: [] };

function found(
  recording: ReportedRecording,
  ...kinds: readonly (readonly [FindingKind, FindingWeight])[]
): ReportedRecording {
  return { ...recording, findings: kinds.map(([kind, weight]) => ({ kind, weight, text: '' })) };
}

function burnt(endSeconds: number, max = 0.3): ReportedRecording {
  const clip = clippedOnly({ durationSeconds: fact(20) }, [{ startSeconds: 0, endSeconds }]);
  const clippedSpans = [{ startSeconds: 0, endSeconds, maxFraction: max }];
  return { ...clip, picture: { ...clip.picture!, clippedSpans, clippedFraction: { max, median: max } } };
}

describe('a clip', () => {
  test('without a fault is to use, and so is one whose fault nobody sees', () => {
    expect(useOf(clean, settings)).toBe('use');
    const unseen = found({ ...clean, shutter: { verdict: 'short', matters: 'no' } }, [
      'shutter-short',
      'medium',
    ]);
    expect(useOf(unseen, settings)).toBe('use');
    expect(useOf(found(clean, ['sources-disagree', 'medium'], ['flicker', 'low']), settings)).toBe('use');
  });

  test('behind a cap is to leave', () => {
    expect(useOf({ ...clean, picture: { ...clean.picture!, noScene: 'black' } }, settings)).toBe('leave');
    expect(useOf({ ...clean, picture: { ...clean.picture!, noScene: 'drawing' } }, settings)).toBe('use');
  });

  test('is not spoilt by a speck of 4% white', () => {
    expect(useOf(burnt(20, 0.04), settings)).toBe('use');
    expect(useOf(burnt(20, 0.06), settings)).toBe('trim');
  });

  test('is to trim where three seconds are left, and to leave where less is', () => {
    expect(useOf(burnt(17), settings)).toBe('trim');
    expect(useOf(burnt(17.1), settings)).toBe('leave');
    expect(useOf(burnt(20), settings)).toBe('leave');
  });

  test('that a setting puts right is to trim', () => {
    expect(useOf(found(clean, ['too-dark', 'high']), settings)).toBe('trim');
    expect(useOf(found(clean, ['too-dark', 'low']), settings)).toBe('use');
  });

  test('whose shutter is off all through is to leave beyond a stop, and to trim within one', () => {
    const { track: _, ...short } = exampleClip();
    const off = (weight: FindingWeight) => useOf(found(short, ['shutter-short', weight]), settings);
    expect(off('high')).toBe('leave');
    expect(off('medium')).toBe('trim');
  });
});

test('white can be cropped out of a clip and of a still, up to a quarter of it', () => {
  expect(useOf(burnt(20, 0.25), settings)).toBe('trim');
  expect(useOf(burnt(20, 0.26), settings)).toBe('leave');
  const still = (max: number): ReportedRecording =>
    found(
      { ...clean, kind: 'still', picture: { ...clean.picture!, clippedFraction: { max, median: max } } },
      ['highlights-clipped', 'high'],
    );
  expect(useOf(still(0.2), settings)).toBe('trim');
  expect(useOf(still(0.3), settings)).toBe('leave');
});

test('of what was not measured nothing is said', () => {
  const { picture: _, ...unmeasured } = clean;
  expect(useOf(unmeasured, settings)).toBeUndefined();
});

test('a still of a series that is flagged as a whole needs a look, and the document says so', () => {
  const still = { ...clean, kind: 'still' as const };
  const document: AuditDocument = {
    ...exampleDocument,
    recordings: [
      { ...still, path: 'A.JPG' },
      { ...still, path: 'B.JPG' },
    ],
    sequences: [
      {
        kind: 'interval',
        paths: ['B.JPG'],
        findings: [{ kind: 'series-too-dark', weight: 'high', text: '' }],
      },
    ],
  };
  expect(usesOf(document)).toEqual(['use', 'trim']);
  expect(withUses(document).recordings.map(({ use }) => use)).toEqual(['use', 'trim']);
});

test('the best stretch is the longest one that nothing spoils', () => {
  const recordings = [burnt(4), { ...burnt(12), path: 'OTHER.MP4' }];
  expect(bestStretch({ recordings, settings })).toMatchObject({ recording: recordings[0], seconds: 16 });
  expect(bestStretch({ recordings: [burnt(20)], settings })).toBeUndefined();
  // A clip to use stands before a longer one with a fault, such as a flicker all through.
  const flickering = found({ ...clean, path: 'FLICKER.MP4' }, ['flicker', 'medium']);
  const short = { ...clean, path: 'SHORT.MP4', facts: { ...clean.facts, durationSeconds: fact(5) } };
  expect(bestStretch({ recordings: [flickering, short], settings })?.recording.path).toBe('SHORT.MP4');
});

test('a title, or a clip with a flag that does not spoil it, is not the best one', () => {
  const short = { ...clean, path: 'SHORT.MP4', facts: { ...clean.facts, durationSeconds: fact(5) } };
  const title = { ...clean, path: 'TITLE.MP4', picture: { ...clean.picture!, noScene: 'drawing' as const } };
  const flagged = found({ ...clean, path: 'WINDOW.MP4' }, ['highlights-clipped', 'medium']);
  expect(useOf(flagged, settings)).toBe('use');
  expect(bestStretch({ recordings: [title, flagged, short], settings })?.recording.path).toBe('SHORT.MP4');
});
