import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { landing } from '../sample-media-generator/season/onTarget.ts';
import { onTargetByAudit } from '../sample-media-generator/season/outcomes.ts';
import { tourPage } from '../sample-media-generator/season/page.ts';
import { forecastOf } from '../sample-media-generator/season/plans.ts';
import type { Step } from '../sample-media-generator/season/steps.ts';
import { clipsOnTarget, summaryOf } from '../sample-media-generator/season/summary.ts';
import { runTour, type TourResult } from '../sample-media-generator/season/tour.ts';
import { FLIGHTS } from '../sample-media-generator/season/plan.ts';
import { firstClips, flightTruth, type SeasonTruth } from '../sample-media-generator/season/truth.ts';
import type { LearnedReport } from '../src/domain/learned.ts';
import type { LoggedFlight } from '../src/document/loggedFlight.ts';

// Ten flights of an invented pilot, each planned before it is flown, by the commands of the README in an empty home
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
  const program = path.join(root, 'bin', 'halfturn.js');
  result = await runTour({ season, home, program, onStep: (step) => void steps.push(step) });
  ({ truth } = result);
  learned = JSON.parse(result.learned) as LearnedReport;
  flights = (JSON.parse(result.logbook) as { flights: readonly LoggedFlight[] }).flights;
});

afterAll(() => rmSync(folder, { recursive: true, force: true }));

const share = ({ right, of }: { readonly right: number; readonly of: number }) => right / of;
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

  it('learns of the light of every flight whose filter is known', () => {
    expect(learned.light!.flights).toBe(truth.flights.length);
    expect(learned.sentences.length).toBeLessThanOrEqual(3);
  });

  it('is flown with what was planned: the filter that was picked is on the lens, and in the logbook', () => {
    const logged = new Map(flights.flatMap((one) => one.recordings).map((one) => [one.path, one.fitted]));
    const followed = result.outcomes.filter((one) => one.followed);
    expect(followed).toHaveLength(truth.flights.length - 1);
    for (const { afterFlights, pick } of followed)
      for (const { file, fitted } of firstClips(truth.flights[afterFlights]!)) {
        expect(fitted, file).toBe(pick);
        expect(logged.get(file)?.label, file).toBe(pick);
      }
  });

  it('has its light whatever is advised', () => {
    for (const [at, plan] of FLIGHTS.entries()) {
      const light = (pick: 'ND4' | 'ND64') =>
        flightTruth(plan, at + 1, { pick, pocket: 'ND8' }).recordings.map(({ sceneEv }) => sceneEv);
      expect(light('ND4')).toEqual(light('ND64'));
      expect(light('ND4')).toEqual(truth.flights[at]!.recordings.map(({ sceneEv }) => sceneEv));
    }
  });

  it('comes back as the audits say: shutter and exposure are right where they truly are', () => {
    const audited = onTargetByAudit(result.logbook);
    const clips = truth.flights.flatMap((one) => one.recordings).filter(({ kind }) => kind === 'clip');
    expect(clips.filter(({ file }) => audited.has(file)).map(({ file }) => file)).toEqual(
      clips.filter(({ onTarget }) => onTarget).map(({ file }) => file),
    );
    expect(new Set(clips.map(({ onTarget }) => onTarget))).toEqual(new Set([true, false]));
  });

  it('ends better than it began: plans narrower, more picks right, the light always inside', () => {
    const [early, late] = [result.outcomes.slice(0, 5), result.outcomes.slice(5)];
    const [before, after] = [summaryOf(early), summaryOf(late)];
    expect(result.outcomes).toHaveLength(truth.flights.length);
    expect(after.width).toBeLessThan(before.width);
    expect(share(after.landed)).toBeGreaterThanOrEqual(share(before.landed));
    for (const { low, high, coming } of result.outcomes) {
      expect(coming.sceneEv).toBeGreaterThan(low);
      expect(coming.sceneEv).toBeLessThan(high);
    }
  });

  it('never costs: under the same light, plans with nothing learned are less sure and bring back no more clips', () => {
    const followed = result.outcomes.filter((one) => one.followed);
    const otherwise = followed.map(({ unlearned }) => unlearned);
    const [learnt, unlearnt] = [summaryOf(followed), summaryOf(otherwise)];
    expect(learnt.width).toBeLessThan(unlearnt.width);
    expect(learnt.wrongBy).toBeLessThan(unlearnt.wrongBy);
    expect(learnt.chance).toBeGreaterThan(unlearnt.chance);
    expect(clipsOnTarget(followed).right).toBeGreaterThanOrEqual(clipsOnTarget(otherwise).right);
  });

  it('improves the plans of flights that nobody has flown yet', () => {
    const after = (count: number) => result.plans.filter(({ afterFlights }) => afterFlights === count);
    const wrongBy = (count: number) =>
      mean(after(count).map(({ median, coming }) => Math.abs(median - coming.sceneEv)));
    const width = (count: number) => mean(after(count).map(({ low, high }) => high - low));
    const chance = (count: number) => mean(after(count).map(({ probability }) => probability));
    expect(after(10)).toHaveLength(truth.coming.length);
    // Published daylight is as near as the light of one season lies apart.
    expect(wrongBy(10)).toBeLessThan(0.5);
    expect(width(5)).toBeLessThan(width(0));
    expect(width(10)).toBeLessThan(width(5));
    expect(chance(10)).toBeGreaterThan(chance(0));
    for (const { low, high, coming } of after(10)) {
      expect(coming.sceneEv).toBeGreaterThan(low);
      expect(coming.sceneEv).toBeLessThan(high);
    }
    const lands = (count: number) =>
      after(count).filter(({ coming, pick }) => landing(coming).includes(pick));
    expect(lands(10).length).toBeGreaterThanOrEqual(lands(0).length);
  });
});

describe('forecastOf()', () => {
  const choice = (label: string) => ({ label, probability: label.length / 10 });
  const plan = (pick: string, second: string | undefined, choices: readonly string[]) =>
    forecastOf({
      moments: [{ sceneEv100: { median: 12, low: 11, high: 13 } }],
      exposures: [
        {
          pick: choice(pick),
          second: second !== undefined ? choice(second) : undefined,
          choices: choices.map(choice),
        },
      ],
    });

  it('follows the pick, and keeps in the pocket what the plan says', () => {
    expect(plan('ND8', 'ND32', ['ND8', 'ND16', 'ND32'])).toMatchObject({ pick: 'ND8', pocket: 'ND32' });
    expect(plan('ND8', undefined, ['ND8', 'ND16'])).toMatchObject({ pick: 'ND8', pocket: 'ND16' });
  });

  it('takes the next filter that the plan names where the pick is none, or two in a stack', () => {
    const followed = { pick: 'ND16', pocket: 'ND4', probability: 0.4 };
    expect(plan('none', 'ND16', ['none', 'ND4', 'ND16'])).toMatchObject(followed);
    expect(plan('ND8 + ND4', undefined, ['ND8 + ND4', 'none', 'ND16', 'ND4'])).toMatchObject(followed);
  });
});
