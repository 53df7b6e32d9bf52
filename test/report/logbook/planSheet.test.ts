import { expect, test } from 'vitest';
import type { PlannedExposure, PlanReport } from '../../../src/domain/planReport.ts';
import { planText } from '../../../src/report/logbook/planSheet.tsx';

const pick: PlannedExposure['pick'] = { label: 'ND16', stops: 4, probability: 0.5 };

function exposure(of: Pick<PlannedExposure, 'framesPerSecond' | 'intervalSeconds' | 'targetSeconds'>) {
  return { ...of, choices: [pick], pick, eitherProbability: 0.5, moments: [], swaps: [] };
}

function headings(exposures: readonly PlannedExposure[]): string {
  const plan: PlanReport = {
    format: 'halfturn-plan',
    formatVersion: 1,
    generatedAt: '2026-05-14T18:02:00Z',
    fNumber: 2.8,
    iso: 100,
    moments: [],
    exposures,
    observations: 0,
    flights: 0,
  };
  return /^sun +(.*)$/m.exec(planText(plan, 200))![1]!;
}

test('rates that are shot with one marked shutter stand under one heading', () => {
  const video = [30, 30_000 / 1001, 25].map((framesPerSecond) =>
    exposure({ framesPerSecond, targetSeconds: 1 / (2 * framesPerSecond) }),
  );
  const series = exposure({ intervalSeconds: 5, targetSeconds: 2.5 });
  expect(headings([...video, series])).toBe('30 or 29.97 fps, 1/60 s  25 fps, 1/50 s  Every 5 s, 2.5 s');
});

test('long exposures of different lengths stay apart', () => {
  const two = [2, 4].map((targetSeconds) => exposure({ targetSeconds }));
  expect(headings(two)).toBe('Long exposure, 2 s  Long exposure, 4 s');
});
