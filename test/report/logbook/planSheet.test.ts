import { describe, expect, it, test } from 'vitest';
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

describe('a plan by the clock', () => {
  const plan = (change: Partial<PlannedExposure>, elevationDegrees = 40, sunsetClock?: string): string =>
    planText(
      {
        format: 'halfturn-plan',
        formatVersion: 1,
        generatedAt: '2026-05-14T18:02:00Z',
        date: '2026-06-01',
        sunsetClock,
        fNumber: 2.8,
        iso: 100,
        timeBasis: 'longitude-zone',
        offsetMinutes: 600,
        moments: [{ clock: '18:00', elevationDegrees, sceneEv100: { median: 13, low: 11, high: 15 } }],
        exposures: [{ ...exposure({ framesPerSecond: 25, targetSeconds: 0.02 }), ...change }],
        observations: 3,
        flights: 1,
      },
      200,
    ).replaceAll('\n', ' ');
  const pocket = { label: 'ND8', stops: 3, probability: 0.2 };

  it('names two filters with the chance that one of them lands, and the cautions', () => {
    const text = plan({ second: pocket, eitherProbability: 0.7 });
    expect(text).toContain(
      'Fit ND16 and keep ND8 in the pocket: one of the two lands with 70%, the first with 50%.',
    );
    expect(text).toContain('Power down before touching a filter');
    expect(text).toContain('too little is known for more than a good guess');
  });

  it('says that its clock is a guess', () => {
    expect(plan({})).toMatch(/guessed from the longitude \(UTC\+10:00\), without summer time/);
  });

  it('sets a variable filter', () => {
    expect(plan({ pick: { label: 'Vari', stops: 4.5, isSetting: true, probability: 0.9 } })).toContain(
      'Fit Vari set to 4.5 stops',
    );
  });

  it('names the ISO in the dark, and needs no cautions for no filter', () => {
    const none = { label: 'none', stops: 0, probability: 0.01 };
    const dusk = plan({ pick: none, darkIso: 800 }, -3);
    expect(dusk).toContain('Fit no filter: it is dark, and this would take ISO 800.');
    expect(dusk).not.toContain('Power down');
    const night = plan({ pick: none, darkIso: 3200 }, -20, '20:00');
    expect(night).toContain('It is night: the sky gives no light to plan with.');
    expect(night).toContain('lit buildings would take ISO 3200, which is noisy.');
    expect(plan({ pick: none, darkIso: 3200 }, -20)).toContain('The sun does not rise that day: the sky');
  });

  it('says when to change, and to what a variable filter is turned', () => {
    const swaps = [
      { clock: '18:20', from: 'ND16', to: 'Vari', settingStops: 3 },
      { clock: '18:50', from: 'Vari', to: 'Vari', settingStops: 2 },
    ];
    expect(plan({ swaps })).toContain(
      'At 18:20 change to Vari set to 3 stops. At 18:50 turn Vari to 2 stops.',
    );
  });

  it('says when the strongest filter is too weak', () => {
    expect(plan({ missingStops: 12 })).toContain(
      'Your strongest filter is too weak: about 12 stops would be needed.',
    );
  });
});
