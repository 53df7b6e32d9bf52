import { expect, test } from 'vitest';
import type { ReportedFilter } from '../../src/domain/report.ts';
import { filterText } from '../../src/reporting/filterWording.ts';

const filter: ReportedFilter = {
  fitted: { label: 'ND16', stops: 4, source: 'notes' },
  neededStops: 5,
  additionalStops: 1,
  change: 'stronger',
  pick: { label: 'ND32', stops: 5, leavesStops: 0 },
  basis: 'recorded exposure and meter',
  uncertaintyStops: 0.4,
  otherwise: [],
};

test('burnt highlights are given as the reason, with the level that the meter would then show', () => {
  const highlights = { offsetStops: -1, burntFraction: 0.05, firstStep: true };
  const text = filterText({ ...filter, highlights });
  for (const part of [
    '1 stop under by meter or mean; the highlights want it 1 stop under',
    '5% that burns',
    'first step',
  ])
    expect(text).toContain(part);
});

test('changing light names what the darkest part would be left with', () => {
  const pick = { label: 'ND32', stops: 5, leavesStops: 0, darkestLeavesStops: -1.5 };
  expect(filterText({ ...filter, pick, lightSpanStops: 1.5 })).toContain(
    'changed by 1.5 stops during the clip, and the brightest part that lasts counts; the darkest would then be 1.5 stops under',
  );
});

test('meter and picture are both named where they differ', () => {
  const meterAndPicture = { meteredStops: 0, pictureStops: 1.4 };
  expect(filterText({ ...filter, meterAndPicture })).toContain('0.0 by the meter, +1.4 by the mean');
});

test('a variable filter is told its setting', () => {
  const pick = { label: 'Vari', stops: 4.3, leavesStops: 0, variable: true };
  expect(filterText({ ...filter, pick })).toMatch(/^Carry Vari, set to about 4\.3 stops:/);
});
