import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';
import { displayText } from '../../domain/displayText.ts';
import { counted } from '../../domain/format.ts';
import { HalfturnError } from '../../domain/halfturnError.ts';
import { linesWithin } from '../../programs/scripts.ts';
import type { CardPlaces, Card, Looked } from './search.ts';

/**
 * The folder that was named, else a mounted card: the only one, which is said, or the one that is chosen on the
 * terminal.
 * @throws HalfturnError where there is no card, or nobody to ask
 */
export async function dumpOrCard(
  dump: string | undefined,
  command: string,
  places: CardPlaces,
): Promise<string> {
  if (dump !== undefined) return dump;
  const result = await findCards(places);
  const [only, second] = result.cards;
  if (only === undefined) throw noCard(result, command);
  if (!process.stdin.isTTY || !process.stdout.isTTY)
    throw nobodyToAsk(result.cards, command, process.platform === 'win32');
  if (second === undefined) {
    process.stderr.write(
      `Taking ${displayText(only.folder)} (${cardDetails(only)}), the only card that is mounted.\n`,
    );
    return only.folder;
  }
  return (await ask(result.cards)).folder;
}

async function ask(cards: readonly Card[]): Promise<Card> {
  process.stderr.write(cardList(cards));
  const question = `Which one? A number from 1 to ${cards.length}, or Enter to leave: `;
  process.stderr.write(question);
  // Lines as the terminal gives them, so that Ctrl-C remains the signal that it is.
  const lines = createInterface({ input: process.stdin, terminal: false });
  try {
    for await (const line of lines) {
      const choice = readChoice(line, cards.length);
      if (choice === 'leave') break;
      if (choice !== undefined) return cards[choice - 1]!;
      process.stderr.write(question);
    }
  } finally {
    lines.close();
  }
  throw new HalfturnError('No card was chosen, so nothing was done');
}

/** What a pilot reads of a card: size and number of recordings. */
function cardDetails({ recordings, sizeBytes }: Card): string {
  const size = sizeBytes === undefined ? '' : `${(sizeBytes / 1e9).toFixed(0)} GB, `;
  return `${size}${counted(recordings, 'recording')}`;
}

export function cardList(cards: readonly Card[]): string {
  const names = cards.map(({ folder }) => displayText(folder));
  const width = Math.max(...names.map((name) => name.length));
  const rows = cards.map((card, at) => `  ${at + 1}  ${names[at]!.padEnd(width)}  ${cardDetails(card)}`);
  return ['These cards are mounted:', ...rows, ''].join('\n');
}

/** The number that was typed, if it is one of the list. `leave` where the line was empty. */
function readChoice(line: string, count: number): number | 'leave' | undefined {
  const text = line.trim();
  if (text === '') return 'leave';
  return /^\d{1,4}$/.test(text) && Number(text) >= 1 && Number(text) <= count ? Number(text) : undefined;
}

export function noCard({ silent }: FoundCards, command: string): HalfturnError {
  const others = silent.length === 0 ? '' : `. No answer came from ${silent.map(displayText).join(', ')}`;
  return new HalfturnError(
    `No folder was named, and no mounted card was found: none of the volumes holds a DCIM folder${others}`,
    `Put the card in and mount it, or name the folder that it was copied to: halfturn ${command} <folder>`,
  );
}

/** Where there is nobody to ask, nothing is guessed: a script that names its card is not surprised by another one. */
export function nobodyToAsk(cards: readonly Card[], command: string, isWindows: boolean): HalfturnError {
  const list = cards.map((card) => `${displayText(card.folder)} (${cardDetails(card)})`).join(', ');
  return new HalfturnError(
    `No folder was named, and there is no terminal to ask on. Mounted: ${list}`,
    `Name it: halfturn ${command} ${quoted(cards[0]!.folder, isWindows)}`,
  );
}

/** A path as a shell takes it. */
function quoted(folder: string, isWindows: boolean): string {
  const shown = displayText(folder);
  if (isWindows) return /\s/.test(shown) ? `"${shown}"` : shown;
  return /^[\w./:-]+$/.test(shown) ? shown : `'${shown.replaceAll("'", "'\\''")}'`;
}

interface FoundCards {
  /** In the order of their paths. */
  readonly cards: readonly Card[];
  /** Folders that did not answer in time. */
  readonly silent: readonly string[];
}

const program = fileURLToPath(new URL('./searchProgram.js', import.meta.url));

/** Looks for cards in a process of its own, which is left behind if a volume does not answer. */
async function findCards(places: CardPlaces): Promise<FoundCards> {
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
