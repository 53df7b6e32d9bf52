import { execFile } from 'node:child_process';
import { cp, mkdir, readFile, rm, stat, truncate, writeFile } from 'node:fs/promises';
import { basename, join } from 'node:path';
import type { ComingTruth, FlightTruth, SeasonTruth } from './build.ts';
import { correctedNotes, notesFile } from './notes.ts';
import { CAMERA, settingsEvAt, TRUE_STOPS } from './world.ts';

/*
 * The season as a pilot lives it: cards are copied, and the commands of the README are run in an empty home folder.
 * Only what those commands print is known here.
 */

/** One thing that happens: a sentence, a command with what it printed, or a text. */
export type Step =
  | { readonly say: string }
  | { readonly heading: string }
  | {
      readonly command: string;
      readonly output: string;
      readonly status: number;
      readonly shown: readonly Excerpt[];
    }
  | { readonly file: string; readonly text: string }
  | { readonly table: readonly (readonly string[])[] };

/** What a short page shows of an output: so many lines from the first that fits. */
export interface Excerpt {
  readonly from: RegExp;
  readonly lines: number;
}

const first = (lines: number): readonly Excerpt[] => [{ from: /^/, lines }];
const whole = first(Infinity);
const entered = { from: /^In the logbook/, lines: 1 };

/** What `plan --json` said, as far as the tour compares it. */
interface Planned {
  readonly afterFlights: number;
  readonly coming: ComingTruth;
  readonly median: number;
  readonly low: number;
  readonly high: number;
  readonly pick: string;
  readonly probability: number;
}

interface Tour {
  readonly season: string;
  readonly home: string;
  /** The script that `halfturn` runs. */
  readonly program: string;
  readonly truth: SeasonTruth;
  readonly onStep: (step: Step) => void;
}

export interface TourResult {
  readonly plans: readonly Planned[];
  /** What `learn --json` and `logbook export` printed at the end. */
  readonly learned: string;
  readonly logbook: string;
}

/** Flights after which all coming flights are planned, to compare. */
const LOOKS_AFTER = [0, 5, 10];

export async function runTour(tour: Tour): Promise<TourResult> {
  const { home, truth, onStep } = tour;
  await mkdir(join(home, 'cards'), { recursive: true });
  const plans: Planned[] = [];
  const look = async (afterFlights: number) => {
    if (LOOKS_AFTER.includes(afterFlights)) {
      await run(tour, planWords(truth.coming[0]!, afterFlights), first(8));
      for (const coming of truth.coming) plans.push(await planned(tour, coming, afterFlights));
    }
  };
  onStep({ heading: 'Before the first flight' });
  onStep({ say: 'The pilot owns five filters, and plans a flight for March with nothing learned yet.' });
  for (const label of ['ND4', 'ND8', 'ND16', 'ND32', 'ND64'])
    await run(tour, ['kit', 'add', label], label === 'ND64' ? first(0) : []);
  await look(0);
  for (const [at, flight] of truth.flights.entries()) {
    onStep({ heading: `Flight ${at + 1}: ${flight.place}, ${flight.startsAt.replace('T', ' ')}` });
    onStep({ say: `${flight.story} The pilot notes ${worn(flight)}.` });
    await fly(tour, flight, at + 1);
    await look(at + 1);
  }
  onStep({ heading: 'What was learned' });
  onStep({ say: 'All flights are in the logbook, each of them once.' });
  await run(tour, ['logbook', 'list'], whole);
  await run(
    tour,
    ['learn'],
    [...first(9), { from: /^True strength/, lines: 8 }, { from: /^Light against/, lines: 20 }],
  );
  const { stdout: learned } = await halfturn(tour, ['learn', '--json']);
  const { stdout: logbook } = await halfturn(tour, ['logbook', 'export']);
  onStep({ heading: 'The same coming flight, planned three times' });
  onStep({ table: comparison(plans, truth.coming[0]!) });
  return { plans, learned, logbook };
}

async function fly(tour: Tour, flight: FlightTruth, number: number): Promise<void> {
  const { season, home, onStep } = tour;
  const card = join(home, 'cards', flight.folder);
  const dump = `cards/${flight.folder}`;
  await cp(join(season, flight.folder), card, { recursive: true });
  if (number === 1) {
    await run(tour, ['audit', dump], [...first(15), entered]);
  }
  if (flight.mishap === 'interrupted-copy') await interrupt(card, flight);
  await run(tour, ['note', dump, '--place', flight.place, '--sky', flight.sky], number === 2 ? whole : []);
  const file = join(home, 'cards', notesFile(flight.folder));
  const proposal = await readFile(file, 'utf8');
  if (number === 2) onStep({ file: `cards/${notesFile(flight.folder)}`, text: proposal });
  await writeFile(file, correctedNotes(proposal, flight));
  await run(tour, ['audit', dump], excerptOf(flight));
  if (flight.mishap === 'audited-twice') {
    onStep({ say: 'A week later the same card is audited again.' });
    await run(tour, ['audit', dump], [...first(1), entered]);
  }
  if (flight.mishap !== 'interrupted-copy') return;
  onStep({ say: 'The card is copied again, whole, and audited again.' });
  await rm(card, { recursive: true });
  await cp(join(season, flight.folder), card, { recursive: true });
  await writeFile(file, correctedNotes(proposal, flight));
  await run(tour, ['audit', dump], [...first(1), entered]);
}

/** Of a flight without a mishap the page needs the story only. */
function excerptOf({ forgotten, mishap }: FlightTruth): readonly Excerpt[] {
  if (forgotten.length > 0) return [...first(1), { from: /Noted as fitted/, lines: 2 }, entered];
  if (mishap === 'interrupted-copy') return [...first(1), { from: /^Problems/, lines: 3 }, entered];
  return [];
}

/** The copy ends inside a clip; what would have come after it is not there. */
async function interrupt(card: string, { recordings }: FlightTruth): Promise<void> {
  const cut = recordings.findLastIndex(({ kind }) => kind === 'clip') - 1;
  const half = join(card, recordings[cut]!.file);
  await truncate(half, Math.floor((await stat(half)).size / 2));
  for (const { file } of recordings.slice(cut + 1)) {
    await rm(join(card, file));
    await rm(join(card, file.replace('.MP4', '.SRT')), { force: true });
  }
}

function worn({ recordings }: FlightTruth): string {
  const legs: { label: string; first: string; last: string }[] = [];
  for (const { noted, file } of recordings) {
    const name = basename(file).replace(/\.\w+$/, '');
    const leg = legs.at(-1);
    if (leg?.label === noted) leg.last = name;
    else legs.push({ label: noted, first: name, last: name });
  }
  return legs.map(({ label, first, last }) => `${label} for ${first} to ${last}`).join(', ');
}

/** Before the first flight nothing is known of the place and the lens; from then on the logbook knows both. */
function planWords(coming: ComingTruth, afterFlights: number): readonly string[] {
  const { place, startsAt, sky, facing, framesPerSecond, latitude, longitude } = coming;
  const known = [
    '--latitude',
    String(latitude),
    '--longitude',
    String(longitude),
    '--f-number',
    String(CAMERA.fNumber),
  ];
  return [
    'plan',
    '--at',
    `${startsAt}-08:00`,
    '--for',
    '0',
    '--place',
    place,
    '--sky',
    sky,
    '--direction',
    facing,
    '--fps',
    String(framesPerSecond),
    ...(afterFlights === 0 ? known : []),
  ];
}

interface PlanDocument {
  readonly moments: readonly { readonly sceneEv100: { median: number; low: number; high: number } }[];
  readonly exposures: readonly { readonly pick: { label: string; probability: number } }[];
}

async function planned(tour: Tour, coming: ComingTruth, afterFlights: number): Promise<Planned> {
  const { stdout } = await halfturn(tour, [...planWords(coming, afterFlights), '--json']);
  const { moments, exposures } = JSON.parse(stdout) as PlanDocument;
  const { label, probability } = exposures[0]!.pick;
  return { afterFlights, coming, ...moments[0]!.sceneEv100, pick: label, probability };
}

function comparison(plans: readonly Planned[], coming: ComingTruth): readonly (readonly string[])[] {
  const behind = settingsEvAt(coming.framesPerSecond);
  const stops = (ev: number) => (ev - behind).toFixed(1);
  return [
    ['planned', 'stops of filter needed', '90 % range', 'width', 'fit', 'chance'],
    ...plans
      .filter((one) => one.coming === coming)
      .map(({ afterFlights, median, low, high, pick, probability }) => [
        afterFlights === 0 ? 'before the first flight' : `after ${afterFlights} flights`,
        stops(median),
        `${stops(low)} to ${stops(high)}`,
        (high - low).toFixed(1),
        pick,
        `${Math.round(100 * probability)} %`,
      ]),
    ['in truth, on a usual day', stops(coming.sceneEv), '', '', landing(coming).join(' or '), ''],
  ];
}

/** Filters whose true strength leaves the exposure between -0.7 and 0, with a shutter within a third of a stop. */
export function landing({ sceneEv, framesPerSecond }: ComingTruth): readonly string[] {
  const needed = sceneEv - settingsEvAt(framesPerSecond);
  const lands = (stops: number) => needed - stops >= -0.7 - 0.33 && needed - stops <= 0.33;
  return Object.entries(TRUE_STOPS).flatMap(([label, stops]) => (lands(stops) ? [label] : []));
}

async function run(tour: Tour, words: readonly string[], shown: readonly Excerpt[]): Promise<void> {
  const { stdout, stderr, status } = await halfturn(tour, words);
  const command = words.map((word) => (word.includes(' ') ? `"${word}"` : word)).join(' ');
  const output = `${stdout}${stderr}`.replaceAll(remembered, '');
  tour.onStep({ command, output, status, shown });
  if (status !== 0) throw new Error(`halfturn ${command} ended with ${status}: ${stderr}`);
}

/** Whether a file counts as unchanged depends on how long ago it was copied, so this is not the same in each tour. */
const remembered = /^\n?.* unchanged since an earlier audit and not measured again\.\n/gm;

interface Ran {
  readonly stdout: string;
  readonly stderr: string;
  readonly status: number;
}

/** In a home of its own: nobody's settings or logbook may be touched or matter. */
function halfturn({ home, program }: Tour, words: readonly string[]): Promise<Ran> {
  const env = { PATH: process.env['PATH'] ?? '', HOME: home, NO_COLOR: '1', TZ: 'UTC' };
  return new Promise((resolve) => {
    execFile(
      process.execPath,
      [program, ...words],
      { cwd: home, env, maxBuffer: 1 << 26 },
      (error, ...said) =>
        resolve({ stdout: said[0], stderr: said[1], status: error === null ? 0 : Number(error.code) }),
    );
  });
}
