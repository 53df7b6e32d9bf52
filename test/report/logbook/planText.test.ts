import { expect, test } from 'vitest';
import type { PlannedChoice, PlannedExposure } from '../../../src/domain/planReport.ts';
import { headedExposures } from '../../../src/report/logbook/planText.ts';

const pick: PlannedChoice = { label: 'ND16', stops: 4, probability: 0.5, calibrated: false };

function exposure(of: Pick<PlannedExposure, 'framesPerSecond' | 'intervalSeconds' | 'targetSeconds'>) {
  return { ...of, choices: [pick], pick, moments: [], swaps: [] };
}

test('rates that are shot with one marked shutter stand under one heading', () => {
  const video = [30, 30_000 / 1001, 25].map((framesPerSecond) =>
    exposure({ framesPerSecond, targetSeconds: 1 / (2 * framesPerSecond) }),
  );
  const series = exposure({ intervalSeconds: 5, targetSeconds: 2.5 });
  expect(headedExposures([...video, series]).map(({ heading }) => heading)).toEqual([
    '30 or 29.97 fps, 1/60 s',
    '25 fps, 1/50 s',
    'Every 5 s, 2.5 s',
  ]);
});

test('long exposures of different lengths stay apart', () => {
  const two = [2, 4].map((targetSeconds) => exposure({ targetSeconds }));
  expect(headedExposures(two)).toHaveLength(2);
});
