import { describe, expect, it } from 'vitest';
import type { LearnedFlight, LearnedReport } from '../../../src/domain/learned.ts';
import { flightsPage } from '../../../src/report/logbook/flightsPage.tsx';
import { learnedPage } from '../../../src/report/logbook/learnedPage.tsx';
import { learnedText, shareText } from '../../../src/report/logbook/learnedText.ts';
import { needLines } from '../../../src/report/logbook/needPlot.ts';

function flight(flightId: number, change: Partial<LearnedFlight>): LearnedFlight {
  return {
    flightId,
    startedAt: `2026-05-${10 + flightId}T10:00:00+02:00`,
    place: '<Long> Shoal',
    landed: { of: 4, right: 2 },
    fittedLabel: 'ND16',
    fittedStops: 4,
    ...change,
  };
}

const report: LearnedReport = {
  format: 'halfturn-learned',
  formatVersion: 2,
  generatedAt: '2026-05-14T18:00:00Z',
  sentences: ['Start with ND64.'],
  flights: [
    flight(1, { sunElevationDegrees: 0, neededStops: 0, sky: 'overcast' }),
    flight(2, { sunElevationDegrees: 60, neededStops: 6.2, sky: 'clear' }),
    flight(3, { sunElevationDegrees: 30, neededStops: 5, sky: 'clear', contradictedStops: 4 }),
    flight(4, { sunElevationDegrees: 30 }),
  ],
  recordings: 16,
  cells: [],
  kit: [
    { label: 'ND16', stops: 4 },
    { label: 'ND64', stops: 6 },
  ],
  today: { sunElevationDegrees: 30, neededStops: [3, 5, 7] },
};

describe('needLines()', () => {
  const lines = needLines(report);
  const row = (label: string) => lines.find((line) => line.trimStart().startsWith(label))!;

  it('puts a sign for each flight where its sun and its need meet, by its sky', () => {
    expect(row('ND64')).toMatch(/o$/);
    expect(row('none')).toMatch(/0 #·/);
    // Neither the contradicted flight nor the one whose need is not known.
    const signs = lines
      .slice(0, -3)
      .join('\n')
      .match(/[o#](?=[·\n]|$)/g);
    expect(signs).toEqual(['o', '#']);
  });

  it('stands a bar where nine of ten of today lie: under a sun halfway to 60 degrees, from 3 to 7 stops', () => {
    const bars = lines.slice(0, -1).flatMap((line) => {
      const [, stops] = /^ +\S* +(\d+) .*\|/.exec(line) ?? [];
      return stops === undefined ? [] : [{ stops: Number(stops), column: line.indexOf('|') }];
    });
    expect(bars.map(({ stops }) => stops)).toEqual([7, 6, 5, 4, 3]);
    // Picture columns 0 to 55 behind 13 of labels.
    for (const { column } of bars) expect(Math.abs(column - 13 - 55 / 2)).toBeLessThanOrEqual(1);
  });

  it('explains the signs that it uses', () => {
    expect(lines.at(-2)).toBe('   a sign a flight: o clear, # overcast');
    expect(lines.at(-1)).toBe('   | today: nine of ten lie here');
  });

  it('fits 80 columns', () => {
    for (const line of learnedText(report, 80).split('\n')) expect(line.length).toBeLessThanOrEqual(80);
  });

  it('is nothing where no need is known', () => {
    expect(needLines({ ...report, flights: [flight(1, {})] })).toEqual([]);
  });
});

describe('shareText()', () => {
  it('tells few as counts', () => {
    expect([
      shareText({ of: 4, right: 3 }),
      shareText({ of: 5, right: 3 }),
      shareText({ of: 0, right: 0 }),
    ]).toEqual(['3 of 4', '60% of 5', '·']);
  });
});

describe('the pages', () => {
  const many = Array.from({ length: 12 }, (_, at) =>
    flight(at, { sunElevationDegrees: 5 * at, neededStops: at / 2, sky: 'haze' }),
  );

  it.each([
    ['of what was learned', learnedPage({ ...report, flights: many })],
    ['of all flights', flightsPage({ ...report, flights: many })],
  ])('%s escape what pilots wrote, and fetch and run nothing', (_, html) => {
    expect(html).toContain('&lt;Long');
    expect(html).not.toContain('<Long>');
    expect(html).toMatch(/default-src 'none'/);
    expect(html).not.toMatch(/<script|https?:|src=/);
    expect(html).not.toMatch(/NaN|undefined/);
  });

  it('of all flights shows a trend once there are ten flights, and a row for each', () => {
    expect(flightsPage({ ...report, flights: many })).toContain('class="trend"');
    expect(flightsPage(report)).not.toContain('class="trend"');
    expect(flightsPage(report).match(/<th scope="row">/g)).toHaveLength(4);
  });
});
