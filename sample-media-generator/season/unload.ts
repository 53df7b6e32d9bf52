import { cp, readFile, rm, stat, truncate, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { correctedNotes, notesFile } from './notes.ts';
import { entered, first, run, whole, type Excerpt, type Tour } from './steps.ts';
import type { FlightTruth } from './truth.ts';

/** After a flight: the card is copied, the notes are written, the copy is audited, with what goes wrong on the way. */
export async function unload(tour: Tour, flight: FlightTruth): Promise<void> {
  const { season, home, onStep } = tour;
  const { number } = flight;
  const card = join(home, 'cards', flight.folder);
  const dump = `cards/${flight.folder}`;
  await cp(join(season, flight.folder), card, { recursive: true });
  if (number === 1) {
    await run(tour, ['audit', dump], [...first(13), entered]);
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
