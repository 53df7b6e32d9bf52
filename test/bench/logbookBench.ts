import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { exportedText, parseExported, type LoggedFlight } from '../../src/document/loggedFlight.ts';
import { skies } from '../../src/domain/daylight.ts';
import { learn, lightOf, mostForLight } from '../../src/logbook/learning.ts';
import { expectedLight, learnLight, rangeOf } from '../../src/logbook/lightModel.ts';
import { planFilters } from '../../src/logbook/planning.ts';
import { openLogbook } from '../../src/logbook/store.ts';
import { madeRecording } from '../logbook/madeFlight.ts';
import { conditionsOf, loggedClip } from '../logbook/simulatedPilots.ts';
import { fifths, fly, percentOf, shutterToleranceStops, windowStops, type Learner } from './careers.ts';
import { atSize, folderVariable, reportRatio } from './ratios.ts';

// What the logbook learns of invented pilots, whose truth is made without any code of ours (sample-media-generator/pilots),
// and what it expects of real photographs.

const pilots = atSize({ quick: 100, usual: 1000 });
const flights = 10;

const learner: Learner = (clips, { filters, fNumber }) => {
  const model = lightOf(clips.map(loggedClip));
  return (clip) => {
    const conditions = conditionsOf(clip);
    const [low, high] = rangeOf(expectedLight(model, conditions));
    const { exposures } = planFilters({
      model,
      kit: filters.map(({ label, labelStops }) => ({ label, stops: labelStops })),
      moments: [conditions],
      wanted: [{ targetSeconds: 0.5 / clip.framesPerSecond, framesPerSecond: clip.framesPerSecond }],
      fNumber,
      iso: 100,
      windowStops,
      shutterToleranceStops,
    });
    const { pick, second, eitherProbability: probability } = exposures[0]!;
    return { low, high, pick: pick.label, second: second?.label, probability };
  };
};

function careers(): void {
  for (const mistakes of [false, true]) {
    const kind = mistakes ? 'with mistakes' : 'without mistakes';
    const outcomes = fly(pilots, flights, mistakes, learner);
    const byFlight = Array.from({ length: flights }, (_, at) =>
      outcomes.filter(({ flight }) => flight === at),
    );
    const inside = byFlight.map((those) => percentOf(those, (one) => one.inside));
    const picked = byFlight.map((those) => percentOf(those, (one) => one.picked));
    const sunny = byFlight.map((those) => percentOf(those, (one) => one.sunny));
    console.log(`\n${kind}: flight, inside 90%, pick lands, sunny 16 lands, one of two lands`);
    byFlight.forEach((those, at) =>
      console.log(
        [at + 1, inside[at]!, picked[at]!, sunny[at]!, percentOf(those, (one) => one.either)]
          .map((value) => value.toFixed(1).padStart(8))
          .join(''),
      ),
    );
    const misses = fifths(outcomes).map((those) => {
      const printed = (100 * those.reduce((sum, { probability }) => sum + probability, 0)) / those.length;
      const landed = percentOf(those, (one) => one.either);
      console.log(`  one of two: printed ${printed.toFixed(1)}, landed ${landed.toFixed(1)}`);
      return Math.abs(landed - printed);
    });
    const note = `${pilots} pilots, ${flights} flights`;
    const what = (rest: string) => `logbook ${kind}, ${rest}`;
    reportRatio({
      what: what('90% range, lowest flight'),
      measured: Math.min(...inside),
      atLeast: 86,
      atMost: 94,
      unit: '%',
      digits: 1,
      note,
    });
    reportRatio({
      what: what('90% range, highest flight'),
      measured: Math.max(...inside),
      atLeast: 86,
      atMost: 94,
      unit: '%',
      digits: 1,
      note,
    });
    reportRatio({
      what: what('one of two, worst fifth off what is printed'),
      measured: Math.max(...misses),
      atMost: 5,
      unit: 'points',
      digits: 1,
      note,
    });
    reportRatio({
      what: what('pick against sunny 16, first flight'),
      measured: picked[0]! - sunny[0]!,
      atLeast: 0,
      unit: 'points',
      digits: 1,
      note,
    });
    const later = outcomes.filter(({ flight }) => flight >= 3);
    const gain = percentOf(later, (one) => one.picked) - percentOf(later, (one) => one.sunny);
    reportRatio({
      what: what('pick against sunny 16, from the fourth flight'),
      measured: gain,
      atLeast: 8,
      unit: 'points',
      digits: 1,
      note,
    });
  }
}

/** The sixth flight's note is four stops wrong; the seventh is planned with it and without. */
function oneWrongFlight(): void {
  const spoilt: Learner = (clips, pilot) =>
    learner(
      clips.map((clip) => (clip.flight === 5 ? { ...clip, recordedEv: clip.recordedEv + 4 } : clip)),
      pilot,
    );
  const seventh = (how: Learner) => fly(pilots, 7, false, how).filter(({ flight }) => flight === 6);
  const [clean, wrong] = [seventh(learner), seventh(spoilt)];
  for (const [what, of] of [
    ['pick', 'picked'],
    ['one of two', 'either'],
  ] as const)
    reportRatio({
      what: `logbook, one wrong flight of six costs (${what})`,
      measured: percentOf(clean, (one) => one[of]) - percentOf(wrong, (one) => one[of]),
      atMost: 4,
      unit: 'points',
      digits: 1,
      note: `${pilots} pilots`,
    });
}

/**
 * `scenes.tsv` of the folder that `--folder` names: sunDegrees, sky, pitchDegrees, direction, ev100, scene, a line each;
 * what is not known is empty. `ev100` is what the camera settled on, with what was dialled in taken away.
 */
function photographs(): void {
  const file = path.join(process.env[folderVariable] ?? '', 'scenes.tsv');
  const groups = { all: () => true, 'sun below 10°': isLow, 'straight down': isDown } as const;
  if (!existsSync(file)) {
    reportRatio({ what: 'logbook, photographs inside the 90% range', note: '--folder names no scenes.tsv' });
    return;
  }
  const scenes = readFileSync(file, 'utf8')
    .trim()
    .split('\n')
    .slice(1)
    .map((line) => {
      const [sun, sky, pitch, direction, ev] = line.split('\t');
      const conditions = {
        elevationDegrees: Number(sun),
        sky: skies.find((name) => name === sky),
        pitchDegrees: pitch === '' ? undefined : Number(pitch),
        direction: (['away', 'across', 'toward'] as const).find((name) => name === direction),
      };
      const light = expectedLight(learnLight([]), conditions);
      const [low, high] = rangeOf(light);
      const ev100 = Number(ev);
      return { ...conditions, missStops: ev100 - light.ev100, isInside: ev100 >= low && ev100 <= high };
    });
  for (const [name, belongs] of Object.entries(groups)) {
    const those = scenes.filter(belongs);
    const misses = those.map(({ missStops }) => missStops).sort((a, b) => a - b);
    reportRatio({
      what: `logbook, photographs inside the 90% range, ${name}`,
      measured: (100 * those.filter(({ isInside }) => isInside).length) / those.length,
      atLeast: name === 'all' ? 82 : 75,
      atMost: name === 'all' ? 96 : undefined,
      unit: '%',
      digits: 0,
      note: `${those.length} scenes, median ${misses[Math.floor(misses.length / 2)]?.toFixed(1)} stops`,
    });
  }
}

function isLow({ elevationDegrees }: { readonly elevationDegrees: number }): boolean {
  return elevationDegrees < 10;
}

function isDown({ pitchDegrees }: { readonly pitchDegrees?: number }): boolean {
  return pitchDegrees !== undefined && pitchDegrees < -60;
}

function madeFlights(count: number, recordings: number, oneTime: boolean): readonly LoggedFlight[] {
  return Array.from({ length: count }, (_, number) => ({
    enteredAt: '2026-05-14T18:02:11Z',
    dump: `card-${number}`,
    place: 'Long Shoal',
    sky: skies[number % 4],
    recordings: Array.from({ length: recordings }, (__, at) => ({
      ...madeRecording(number, at),
      ...(oneTime ? {} : { recordedAt: new Date(1.7e12 + (number * 500 + at) * 60_000).toISOString() }),
      sunElevationDegrees: (number * 7) % 60,
    })),
  }));
}

/** 100,000 recordings, all with one time as of a clock that was never set, and each with its own. */
function size(): void {
  for (const oneTime of [false, true]) {
    const folder = mkdtempSync(path.join(tmpdir(), 'halfturn-bench-'));
    const text = [...exportedText(madeFlights(1000, 100, oneTime))].join('');
    const startMs = performance.now();
    const { flights: read } = parseExported(text, 'export.json');
    const logbook = openLogbook(path.join(folder, 'logbook.sqlite'), { create: true });
    logbook.enter(read);
    const enteredMs = performance.now();
    learn({ observations: logbook.observations(), kit: [], generatedAt: '2026-05-14T18:00:00Z' });
    const learnedMs = performance.now();
    lightOf(logbook.observations(mostForLight));
    const plannedMs = performance.now();
    logbook.close();
    rmSync(folder, { recursive: true });
    const times = oneTime ? 'one time for all' : 'a time for each';
    const seconds = (from: number, to: number) => (to - from) / 1000;
    reportRatio({
      what: `logbook, 100,000 recordings imported, ${times}`,
      measured: seconds(startMs, enteredMs),
      atMost: 60,
      unit: 's',
      digits: 1,
    });
    reportRatio({
      what: `logbook, learn from 100,000, ${times}`,
      measured: seconds(enteredMs, learnedMs),
      unit: 's',
      digits: 1,
    });
    reportRatio({
      what: `logbook, plan from 100,000, ${times}`,
      measured: seconds(learnedMs, plannedMs),
      unit: 's',
      digits: 1,
    });
  }
}

const parts = { careers, oneWrongFlight, photographs, size };
const wanted = process.argv.slice(2);
for (const [name, run] of Object.entries(parts)) if (wanted.length === 0 || wanted.includes(name)) run();
