import { cp, mkdir, readFile, rm, stat, truncate, writeFile } from 'node:fs/promises';
import { basename, join } from 'node:path';
import type { FlightTruth, SeasonTruth } from './build.ts';
import { correctedNotes, notesFile } from './notes.ts';
import { firstView, foretold, planned, planWords, samePlans, type Planned } from './plans.ts';
import { runHalfturn, type Installed } from './runHalfturn.ts';

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

interface Tour extends Installed {
  readonly season: string;
  readonly truth: SeasonTruth;
  readonly onStep: (step: Step) => void;
}

export interface TourResult {
  readonly plans: readonly Planned[];
  /** What was planned before each flight for its first view, by all that was known then. */
  readonly foretold: readonly Planned[];
  /** What `learn --json` and `logbook export` printed at the end. */
  readonly learned: string;
  readonly logbook: string;
}

/** Flights after which all coming flights are planned, to compare. */
const LOOKS_AFTER = [0, 5, 10];

export async function runTour(tour: Tour): Promise<TourResult> {
  const { home, truth, onStep } = tour;
  await mkdir(join(home, 'cards'), { recursive: true });
  const [plans, before]: [Planned[], Planned[]] = [[], []];
  const look = async (afterFlights: number) => {
    if (LOOKS_AFTER.includes(afterFlights)) {
      const known = { place: afterFlights > 0, lens: afterFlights > 0 };
      // The page shows the first and the last whole; all three stand in the table at its end.
      await run(tour, planWords(truth.coming[0]!, known), afterFlights === 5 ? [] : first(8));
      for (const coming of truth.coming) plans.push(await planned(tour, coming, known, afterFlights));
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
    const place = truth.flights.slice(0, at).some((earlier) => earlier.place === flight.place);
    before.push(await planned(tour, firstView(flight), { place, lens: at > 0 }, at));
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
  const { stdout: learned } = await runHalfturn(tour, ['learn', '--json']);
  const { stdout: logbook } = await runHalfturn(tour, ['logbook', 'export']);
  onStep({ heading: 'What was planned for the first view of each flight, and what was right' });
  onStep({ table: foretold(before) });
  onStep({ heading: 'The same coming flight, planned three times' });
  onStep({ table: samePlans(plans, truth.coming[0]!) });
  return { plans, foretold: before, learned, logbook };
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

async function run(tour: Tour, words: readonly string[], shown: readonly Excerpt[]): Promise<void> {
  const { stdout, stderr, status } = await runHalfturn(tour, words);
  const command = words.map((word) => (word.includes(' ') ? `"${word}"` : word)).join(' ');
  const output = `${stdout}${stderr}`.replaceAll(remembered, '');
  tour.onStep({ command, output, status, shown });
  if (status !== 0) throw new Error(`halfturn ${command} ended with ${status}: ${stderr}`);
}

/** Whether a file counts as unchanged depends on how long ago it was copied, so this is not the same in each tour. */
const remembered = /^\n?.* unchanged since an earlier audit and not measured again\.\n/gm;
