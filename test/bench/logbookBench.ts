import { rmSync, mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { ev100 } from '../../src/domain/exposure.ts';
import type { LoggedFlight, LoggedObservation } from '../../src/domain/logbook.ts';
import { measuredKit, learnStrengths } from '../../src/logbook/strengths.ts';
import { learn, learnLight, mostForLight } from '../../src/logbook/learning.ts';
import { mixtureBetween, mixtureMean, mixtureQuantile } from '../../src/logbook/distributions.ts';
import { planFilters } from '../../src/logbook/planning.ts';
import { predictScene } from '../../src/logbook/sceneModel.ts';
import { openLogbook } from '../../src/logbook/store.ts';

import { makePairs } from '../../sample-media-generator/pilots/pairs.ts';
import {
  conditionsOf,
  loggedClip,
  loggedPairs,
  makePilot,
  type TrueClip,
  type TruePilot,
} from '../logbook/simulatedPilots.ts';
import { atSize, reportRatio } from './ratios.ts';

// What the logbook learns of invented pilots, whose truth is made without any code of ours (sample-media-generator/pilots).

const windowStops = [-0.7, 0] as const;
const shutterToleranceStops = 1 / 3;
const iso = 100;

/** How many invented pilots stand behind a number. */
function pilots(count: number): number {
  return atSize({ quick: Math.ceil(count / 10), usual: count });
}

function trained({ clips }: TruePilot, flights: number) {
  const logged = clips.filter(({ flight }) => flight < flights).map(loggedClip);
  return learnLight(logged);
}

function byFlight(clips: readonly TrueClip[]): ReadonlyMap<number, readonly TrueClip[]> {
  const flights = new Map<number, TrueClip[]>();
  for (const clip of clips) flights.set(clip.flight, [...(flights.get(clip.flight) ?? []), clip]);
  return flights;
}

function share(part: number, whole: number): string {
  return whole === 0 ? '-' : `${((100 * part) / whole).toFixed(1)}%`;
}

function table(
  title: string,
  head: readonly string[],
  rows: readonly (readonly (string | number)[])[],
): void {
  const text = [head, ...rows].map((row) => row.map(String));
  const widths = head.map((_, at) => Math.max(...text.map((row) => row[at]?.length ?? 0)));
  console.log(`\n${title}`);
  for (const row of text) console.log(`  ${row.map((cell, at) => cell.padStart(widths[at]!)).join('  ')}`);
}

function coverage(): void {
  const held: number[] = [];
  const rows = [0, 1, 2, 5, 10, 20, 40].map((flights) => {
    let [inside90, inside50, all] = [0, 0, 0];
    const misses: number[] = [];
    const widths: number[] = [];
    for (let seed = 1; seed <= pilots(250); seed++) {
      const pilot = makePilot({ seed, flights: flights + 8 });
      const { model } = trained(pilot, flights);
      for (const clip of pilot.clips.filter(({ flight }) => flight >= flights)) {
        const scene = predictScene(model, conditionsOf(clip));
        const low = mixtureQuantile(scene, 0.05);
        const high = mixtureQuantile(scene, 0.95);
        all += 1;
        inside90 += Number(clip.sceneEv > low && clip.sceneEv < high);
        inside50 += Number(
          clip.sceneEv > mixtureQuantile(scene, 0.25) && clip.sceneEv < mixtureQuantile(scene, 0.75),
        );
        misses.push(Math.abs(clip.sceneEv - mixtureMean(scene)));
        widths.push(high - low);
      }
    }
    held.push((100 * inside90) / all);
    const mean = (values: readonly number[]) =>
      (values.reduce((a, b) => a + b, 0) / values.length).toFixed(2);
    return [flights * 5, flights, share(inside90, all), share(inside50, all), mean(misses), mean(widths)];
  });
  table(
    `Held-out scenes inside the predictive interval (${pilots(250)} pilots, 40 scenes of 8 later flights each)`,
    ['clips', 'flights', 'of 90%', 'of 50%', 'mean miss, stops', 'width of 90%, stops'],
    rows,
  );
  for (const [which, measured] of [
    ['lowest', Math.min(...held)],
    ['highest', Math.max(...held)],
  ] as const)
    reportRatio({
      what: `logbook, 90% range of the light holds, ${which}`,
      measured,
      atLeast: 87,
      atMost: 93,
      unit: '%',
      digits: 1,
      note: `of 0 to 200 clips learned from, ${pilots(250)} pilots`,
    });
}

function choices(): void {
  const gains = new Map<number, number>();
  const bins = Array.from({ length: 10 }, () => ({ said: 0, landed: 0, count: 0 }));
  const rows = [0, 5, 20, 50, 200].map((flights) => {
    let [sunny, picked, rule, bestFixed, secondToo, everyScene, everyPicked] = [0, 0, 0, 0, 0, 0, 0];
    for (let seed = 1001; seed <= 1000 + pilots(flights > 50 ? 60 : 200); seed++) {
      const pilot = makePilot({ seed, flights: flights + 8 });
      const { model, strengths } = trained(pilot, flights);
      const labels = pilot.filters.map(({ label, labelStops }) => ({ label, stops: labelStops }));
      const kit = measuredKit(labels, strengths);
      const fixed = new Map<string, number>();
      for (const clip of pilot.clips.filter(({ flight }) => flight >= flights)) {
        const targetSeconds = 0.5 / clip.framesPerSecond;
        const settings = ev100({ fNumber: pilot.fNumber, exposureSeconds: targetSeconds, iso })!;
        const { exposures } = planFilters({
          model,
          strengths,
          kit,
          moments: [conditionsOf(clip)],
          wanted: [{ framesPerSecond: clip.framesPerSecond, targetSeconds }],
          fNumber: pilot.fNumber,
          iso,
          windowStops,
          shutterToleranceStops,
        });
        const trueStops = (label: string) =>
          pilot.filters.find((filter) => filter.label === label)?.trueStops ?? 0;
        const lands = (label: string) => {
          const leaves = clip.sceneEv - settings - trueStops(label);
          return (
            leaves >= windowStops[0] - shutterToleranceStops &&
            leaves <= windowStops[1] + shutterToleranceStops
          );
        };
        const [plan] = exposures;
        everyScene += 1;
        everyPicked += Number(lands(plan!.pick.label));
        if (flights >= 20)
          for (const { label, probability } of plan!.choices) {
            const bin = bins[Math.min(9, Math.floor(probability * 10))]!;
            bin.said += probability;
            bin.landed += Number(lands(label));
            bin.count += 1;
          }
        if (clip.sky !== 'clear' && clip.sky !== 'haze') continue;
        sunny += 1;
        picked += Number(lands(plan!.pick.label));
        secondToo += Number(
          lands(plan!.pick.label) || (plan!.second !== undefined && lands(plan!.second.label)),
        );
        rule += Number(lands('ND16'));
        for (const { label } of pilot.filters)
          fixed.set(label, (fixed.get(label) ?? 0) + Number(lands(label)));
      }
      bestFixed += Math.max(0, ...fixed.values());
    }
    gains.set(flights, (100 * (picked - rule)) / sunny);
    return [
      flights,
      share(picked, sunny),
      share(rule, sunny),
      share(bestFixed, sunny),
      gains.get(flights)!.toFixed(1),
      share(secondToo, sunny),
      share(everyPicked, everyScene),
    ];
  });
  table(
    `Shutter and exposure land, scenes in sun or haze (${pilots(200)} pilots, ${pilots(60)} where there are 200 flights)`,
    [
      'flights',
      'planned',
      'ND16 in sun',
      'best single, in hindsight',
      'gain, points',
      'pick or second',
      'planned, any sky',
    ],
    rows,
  );
  for (const flights of [5, 20])
    reportRatio({
      what: `logbook, planned filter against ND16 in sun, ${5 * flights} clips learned from`,
      measured: gains.get(flights),
      atLeast: 25,
      unit: 'points',
      digits: 1,
      note: `scenes in sun or haze of ${pilots(200)} pilots`,
    });
  table(
    'Said probability against what landed (every owned filter, 20 flights and more)',
    ['said', 'mean said', 'landed', 'choices'],
    bins.map(({ said, landed, count }, at) => [
      `${at * 10}-${at * 10 + 10}%`,
      share(said, count),
      share(landed, count),
      count,
    ]),
  );
}

function strengths(): void {
  const found = new Map<string, number>();
  const rows = [0.2, 0.3, 0.4].flatMap((clipSpreadStops) =>
    [5, 10, 20, 40].map((pairs) => {
      const misses: number[] = [];
      let [inside, supported] = [0, 0];
      for (let seed = 3001; seed <= 3000 + pilots(500); seed++) {
        const trueStops = 4 + (seed % 2 === 0 ? 0.5 : -0.5);
        const pairsMade = makePairs({ seed, pairs, trueStops, clipSpreadStops });
        const learned = learnStrengths(loggedPairs(pairsMade))[0]!;
        misses.push(Math.abs(learned.stops - trueStops));
        inside += Number(trueStops > learned.interval[0] && trueStops < learned.interval[1]);
        supported += Number(learned.supported);
      }
      misses.sort((x, y) => x - y);
      const at = (part: number) => misses[Math.floor(part * (misses.length - 1))]!.toFixed(3);
      const within = misses.filter((miss) => miss <= 0.15).length;
      const all = misses.length;
      found.set(`${clipSpreadStops} ${pairs}`, (100 * within) / all);
      return [
        clipSpreadStops,
        pairs,
        at(0.5),
        at(0.9),
        share(within, all),
        share(inside, all),
        share(supported, all),
      ];
    }),
  );
  table(
    `ND16 half a stop off its label, against none: how far off the estimate is (${pilots(500)} pilots)`,
    ['clip spread', 'pairs', 'median miss', '90% of misses', 'within 0.15', 'truth in 95%', 'used in advice'],
    rows,
  );
  reportRatio({
    what: 'logbook, filter half a stop off its label found within 0.15 stop',
    measured: found.get('0.3 20'),
    unit: '%',
    digits: 1,
    note: `from 20 pairs that spread by 0.3 stop, ${pilots(500)} pilots`,
  });
}

function falseAlarms(): void {
  let [used, worse, known] = [0, 0, 0];
  for (let seed = 5001; seed <= 5000 + pilots(200); seed++) {
    const pilot = makePilot({ seed, flights: 60 });
    for (const found of learnStrengths(pilot.clips.map(loggedClip))) {
      known += 1;
      if (!found.supported) continue;
      used += 1;
      const truth = pilot.filters.find(({ label }) => label === found.label)!.trueStops;
      worse += Number(Math.abs(found.stops - truth) > Math.abs(found.labelStops - truth));
    }
  }
  table(
    `Strengths used in advice after 60 flights (${pilots(200)} pilots)`,
    ['filters with pairs', 'used', 'used and worse than the label'],
    [[known, used, worse]],
  );
}

function flightOf(number: number, clips: readonly LoggedObservation[]): LoggedFlight {
  return {
    enteredAt: '2026-05-14T18:00:00Z',
    dump: `card ${number}`,
    place: clips[0]!.place!,
    sky: clips[0]!.sky!,
    recordings: clips.map(({ flightId: _flightId, place: _place, sky: _sky, ...clip }) => ({
      ...clip,
      fingerprint: `${number} ${clip.atMs}`,
      path: `CLIP${clip.atMs}.MP4`,
      shutterVerdict: 'on',
      inWindow: true,
      additionalStops: 0.2,
      recordedAt: new Date(1.75e12 + number * 1e7).toISOString(),
      detail: { findings: [], facts: { iso: { value: 100, source: 'EXIF' } } },
    })),
  };
}

function size(): void {
  const folder = mkdtempSync(path.join(tmpdir(), 'halfturn-bench-'));
  const file = path.join(folder, 'logbook.sqlite');
  const logbook = openLogbook(file, { create: true });
  const { clips } = makePilot({ seed: 7, flights: 500, clipsPerFlight: 20 });
  const flights = [...byFlight(clips).values()].map((members) => members.map(loggedClip));
  const rows: (string | number)[][] = [];
  let entering = 0;
  for (let number = 0; number < 10_000; number++) {
    const startMs = performance.now();
    logbook.enter([flightOf(number, flights[number % flights.length]!)]);
    entering += performance.now() - startMs;
    if (![99, 999, 4999, 9999].includes(number)) continue;
    const since = number === 99 ? 100 : number === 999 ? 900 : number === 4999 ? 4000 : 5000;
    const readMs = performance.now();
    const observations = logbook.observations();
    const learnMs = performance.now();
    learn(observations, '2026-05-14T18:00:00Z');
    const planMs = performance.now();
    const { model } = learnLight(logbook.observations(mostForLight));
    mixtureBetween(predictScene(model, { elevationDegrees: 30, sky: 'clear' }), 12, 14);
    const endMs = performance.now();
    rows.push([
      number + 1,
      observations.length,
      (entering / since).toFixed(2),
      (learnMs - readMs).toFixed(0),
      (planMs - learnMs).toFixed(0),
      (endMs - planMs).toFixed(0),
    ]);
    entering = 0;
  }
  logbook.close();
  rmSync(folder, { recursive: true });
  table(
    'Size: 20 recordings a flight (times of this machine, in ms)',
    ['flights', 'recordings', 'entering one', 'reading all', 'learn', 'plan, with reading'],
    rows,
  );
}

const parts = { coverage, choices, strengths, falseAlarms, size };
const wanted = process.argv.slice(2);
for (const [name, run] of Object.entries(parts)) if (wanted.length === 0 || wanted.includes(name)) run();
