import { expect, test } from 'vitest';
import { wantsFitted } from '../../src/cli/askFitted.ts';
import { exampleDocument } from '../report/exampleDocument.ts';

const [first] = exampleDocument.recordings;
const told = { ...first!, filter: { additionalStops: 2, otherwise: [] } };
const { filter: _, ...bare } = first!;

test('it is asked what was on the lens where light was told and nobody said through what', () => {
  expect(wantsFitted({ recordings: [told, bare] })).toBe(true);
});

test('it is not asked where the answer would change nothing, or is known', () => {
  const fitted = { label: 'ND8', stops: 3, source: 'notes' };
  expect(wantsFitted({ recordings: [bare] })).toBe(false);
  expect(wantsFitted({ recordings: [told, { ...told, filter: { ...told.filter, fitted } }] })).toBe(false);
});
