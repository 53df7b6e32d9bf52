import { expect, test } from 'vitest';
import type { Finding } from '../../src/domain/finding.ts';
import { findingRemedy } from '../../src/report/remedies.ts';

const raised: Finding = { kind: 'iso-raised', weight: 'low', iso: 400, baseIso: 100, overStops: 2 };
const bright: Finding = { kind: 'too-bright', weight: 'medium', offsetStops: 1, basis: 'metered' };

test('a finding asks for another filter only where no advice weighs all of them together', () => {
  expect(findingRemedy(raised).nextTime).toBe(
    'Set ISO 100 and a filter that is 2 stops weaker, if one was on.',
  );
  expect(findingRemedy(raised, { filterAdvised: true }).nextTime).toBe('Set ISO 100.');
  expect(findingRemedy(bright).nextTime).toContain('filter');
  expect(findingRemedy(bright, { filterAdvised: true })).not.toMatchObject({ nextTime: expect.anything() });
});

const burnt: Finding = {
  kind: 'highlights-clipped',
  weight: 'high',
  maxFraction: 0.2,
  medianFraction: 0.2,
  spanCount: 1,
  startSeconds: 0,
  endSeconds: 1.95,
};

test('a clip that burns from end to end is not said to be whole outside of it', () => {
  expect(findingRemedy(burnt, { recordingKind: 'clip', durationSeconds: 2 }).inTheEdit).toContain(
    'crop it out',
  );
  expect(findingRemedy(burnt, { recordingKind: 'clip', durationSeconds: 20 }).inTheEdit).toContain(
    'outside 0 s to 1.9 s nothing is burnt',
  );
});

test('a remark on the mean level of a picture changes no filter', () => {
  const remark: Finding = { kind: 'too-bright', weight: 'low', offsetStops: 1.4, basis: 'picture' };
  expect(findingRemedy(remark)).toEqual({ inTheEdit: 'Darken by 1.4 stops if it looks too bright.' });
});
