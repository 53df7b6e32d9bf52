import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { buildSeason, type SeasonTruth } from '../sample-media-generator/season/build.ts';
import { tourPage } from '../sample-media-generator/season/page.ts';
import { landing } from '../sample-media-generator/season/plans.ts';
import { runTour, type Step, type TourResult } from '../sample-media-generator/season/tour.ts';
import type { LearnedReport } from '../src/domain/learned.ts';
import type { LoggedFlight } from '../src/domain/logbook.ts';

// Ten flights of an invented pilot, from the first audit to a plan, by the commands of the README in an empty home
// folder. What is true of the light and the filters is known without any code of ours.

const root = path.resolve(import.meta.dirname, '..');
const transcript = path.join(root, 'test', 'cli', 'transcripts', 'season.md');

let folder = '';
let truth: SeasonTruth;
let result: TourResult;
let learned: LearnedReport;
let flights: readonly LoggedFlight[];
const steps: Step[] = [];

beforeAll(async () => {
  folder = mkdtempSync(path.join(tmpdir(), 'halfturn-tour-'));
  const [season, home] = [path.join(folder, 'season'), path.join(folder, 'home')];
  mkdirSync(home);
  truth = await buildSeason(season);
  const program = path.join(root, 'bin', 'halfturn.js');
  result = await runTour({ season, home, program, truth, onStep: (step) => void steps.push(step) });
  learned = JSON.parse(result.learned) as LearnedReport;
  flights = (JSON.parse(result.logbook) as { flights: readonly LoggedFlight[] }).flights;
});

afterAll(() => rmSync(folder, { recursive: true, force: true }));

const mean = (values: readonly number[]) => values.reduce((sum, one) => sum + one, 0) / values.length;

describe('a season', () => {
  it('is told by a page of five minutes', () => {
    const text = tourPage(steps).replaceAll(path.join(folder, 'home'), '~');
    if (process.env['UPDATE_GOLDEN'] === '1') writeFileSync(transcript, text);
    expect(text).toBe(readFileSync(transcript, 'utf8'));
    expect(text.split('\n').length).toBeLessThanOrEqual(250);
  });

  it('runs every command to its end', () => {
    const ran = steps.filter((step) => 'command' in step);
    expect(ran.length).toBeGreaterThan(30);
    expect(new Set(ran.map(({ command }) => command.split(' ')[0]))).toEqual(
      new Set(['kit', 'plan', 'audit', 'note', 'logbook', 'learn']),
    );
  });

  it('stands in the logbook flight by flight, each recording once, also of a card audited twice or copied in two goes', () => {
    expect(flights.map(({ place, sky, recordings }) => [place, sky, recordings.length])).toEqual(
      truth.flights.map(({ place, sky, recordings }) => [place, sky, recordings.length]),
    );
    expect(flights.map(({ startedAt }) => startedAt!.slice(0, 16))).toEqual(
      truth.flights.map(({ startsAt }) => startsAt),
    );
    const paths = flights.flatMap(({ recordings }) => recordings.map((one) => one.path)).toSorted();
    expect(paths).toEqual(truth.flights.flatMap((one) => one.recordings.map(({ file }) => file)).toSorted());
  });

  it('tells the light of each scene to half a stop, through the filters that keep to their labels', () => {
    const recordings = flights.flatMap((flight) => flight.recordings);
    const scenes = truth.flights.flatMap((flight) => flight.recordings);
    const known = scenes.filter(
      ({ fitted, noted }) => fitted === noted && fitted !== truth.mislabelled.label,
    );
    expect(known.length).toBeGreaterThan(40);
    for (const { file, sceneEv } of known) {
      const { sensorEv100, fitted } = recordings.find((one) => one.path === file)!;
      // Meter in tenths (0.05), labels within 0.08, shutter times as written (0.03), level of a small still.
      expect(Math.abs(sensorEv100! + fitted!.labelStops - sceneEv), file).toBeLessThan(0.3);
    }
  });

  it('finds the forgotten filter, and nothing else of its kind; learns nothing from it', () => {
    const doubted = flights.flatMap(({ recordings }) =>
      recordings.filter(({ detail }) => detail.findings?.some(({ kind }) => kind.startsWith('filter-'))),
    );
    expect(doubted.map((one) => one.path)).toEqual(truth.flights.flatMap(({ forgotten }) => forgotten));
    expect(doubted.map(({ fitted }) => fitted)).toEqual([undefined]);
  });

  it('finds the strength of the mislabelled filter, and uses it', () => {
    const { label, labelStops, trueStops } = truth.mislabelled;
    const found = learned.strengths.find((one) => one.label === label)!;
    expect(Math.abs(found.stops - trueStops)).toBeLessThan(Math.abs(labelStops - trueStops) / 3);
    expect(trueStops).toBeGreaterThan(found.interval[0]);
    expect(trueStops).toBeLessThan(found.interval[1]);
    expect(found.supported).toBe(true);
    expect(learned.strengths.filter(({ supported }) => supported)).toHaveLength(1);
  });

  it('plans the last flights better than the first ones', () => {
    expect(result.foretold).toHaveLength(truth.flights.length);
    const [early, late] = [result.foretold.slice(0, 5), result.foretold.slice(5)];
    const wrongBy = (plans: typeof early) =>
      mean(plans.map(({ median, coming }) => Math.abs(median - coming.sceneEv)));
    const width = (plans: typeof early) => mean(plans.map(({ low, high }) => high - low));
    const missed = (plans: typeof early) =>
      plans.filter(({ coming, pick }) => landing(coming).length > 0 && !landing(coming).includes(pick))
        .length;
    expect(wrongBy(late)).toBeLessThan(wrongBy(early) * 0.7);
    expect(width(late)).toBeLessThan(width(early) * 0.8);
    expect(missed(late)).toBeLessThan(missed(early));
    for (const { low, high, coming } of result.foretold) {
      expect(coming.sceneEv).toBeGreaterThan(low);
      expect(coming.sceneEv).toBeLessThan(high);
    }
  });

  it('improves the plans of flights that nobody has flown yet', () => {
    const after = (count: number) => result.plans.filter(({ afterFlights }) => afterFlights === count);
    const wrongBy = (count: number) =>
      mean(after(count).map(({ median, coming }) => Math.abs(median - coming.sceneEv)));
    const width = (count: number) => mean(after(count).map(({ low, high }) => high - low));
    const chance = (count: number) => mean(after(count).map(({ probability }) => probability));
    expect(after(10)).toHaveLength(truth.coming.length);
    expect(wrongBy(10)).toBeLessThan(wrongBy(0) * 0.7);
    expect(width(5)).toBeLessThan(width(0) * 0.7);
    expect(width(10)).toBeLessThan(width(5));
    expect(chance(10)).toBeGreaterThan(chance(0) + 0.15);
    for (const { low, high, coming } of after(10)) {
      expect(coming.sceneEv).toBeGreaterThan(low);
      expect(coming.sceneEv).toBeLessThan(high);
    }
    const lands = (count: number) =>
      after(count).filter(({ coming, pick }) => landing(coming).includes(pick));
    expect(lands(10).length).toBeGreaterThan(lands(0).length);
  });
});
