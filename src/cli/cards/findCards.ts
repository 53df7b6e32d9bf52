import { fileURLToPath } from 'node:url';
import { linesWithin } from '../../programs/scripts.ts';
import type { Card, CardPlaces, Looked } from './search.ts';

export interface FoundCards {
  /** In the order of their paths. */
  readonly cards: readonly Card[];
  /** Folders that did not answer in time. */
  readonly silent: readonly string[];
}

const program = fileURLToPath(new URL('./searchProgram.js', import.meta.url));

/** Looks for cards in a process of its own, which is left behind if a volume does not answer. */
export async function findCards(places: CardPlaces): Promise<FoundCards> {
  const lines = await linesWithin(program, [JSON.stringify(places)], places.wallMs);
  return foundCards(lines.map((line) => JSON.parse(line) as Looked));
}

/** What came of it: a folder that was looked into without an answer is silent. */
export function foundCards(looks: readonly Looked[]): FoundCards {
  const answered = new Set(looks.filter(({ card }) => card !== undefined).map(({ folder }) => folder));
  const cards = looks.flatMap(({ card }) => (card === undefined || card === false ? [] : [card]));
  return {
    cards: cards.toSorted((a, b) => (a.folder < b.folder ? -1 : 1)),
    silent: looks.map(({ folder }) => folder).filter((folder) => !answered.has(folder)),
  };
}
