import { expect, test } from 'vitest';
import type { ReportedSequence } from '../../../src/document/auditDocument.ts';
import type { ReportedRecording } from '../../../src/document/reportedRecording.ts';
import { partOf, repeatsItsSeries } from '../../../src/report/html/pageRecording.ts';
import { exampleDocument } from '../exampleDocument.ts';

const paths = ['A.JPG', 'B.JPG', 'C.JPG'];
const series: ReportedSequence = { kind: 'interval', paths, findings: [] };
const bracket: ReportedSequence = { ...series, kind: 'bracket', stepsStops: [-2, 0, 2] };

function still(path: string, findings: ReportedRecording['findings'] = []): ReportedRecording {
  return { ...exampleDocument.recordings[0]!, path, kind: 'still', findings };
}

test('a still is told what it is a part of', () => {
  expect(partOf('B.JPG', [series])?.text).toBe('interval series of 3');
  expect(partOf('A.JPG', [bracket])?.text).toBe('bracket, −2.0');
  expect(partOf('D.JPG', [series, bracket])).toBeUndefined();
});

test('the first still of a series carries what was found in the whole, and where it stands', () => {
  const found = [{ kind: 'series-highlights-clipped', weight: 'high', text: '' }] as const;
  const other = { ...bracket, paths: ['X.JPG', 'Y.JPG'] };
  expect(partOf('A.JPG', [other, { ...series, findings: found }])).toMatchObject({
    index: 1,
    findings: found,
  });
  expect(partOf('B.JPG', [{ ...series, findings: found }])?.findings).toEqual([]);
  expect(partOf('A.JPG', [{ ...bracket, findings: found }])?.findings).toEqual([]);
});

test('the first still of a bracket or series stands for the others, unless something was found in them', () => {
  const repeating = (recording: ReportedRecording) => repeatsItsSeries(recording, [series]);
  expect(paths.map((path) => repeating(still(path)))).toEqual([false, true, true]);
  expect(repeating(still('B.JPG', [{ kind: 'too-dark', weight: 'medium', text: '' }]))).toBe(false);
  expect(repeatsItsSeries(still('B.JPG'), [bracket])).toBe(true);
});
