import { createInterface } from 'node:readline';
import { displayText } from '../../domain/displayText.ts';
import { HalfturnError } from '../../domain/halfturnError.ts';
import type { CardPlaces } from './cardPlaces.ts';
import { cardDetails, cardList, noCard, nobodyToAsk, readChoice } from './cardWording.ts';
import { findCards } from './findCards.ts';
import type { Card } from './search.ts';

/**
 * The folder that was named, else a mounted card: the only one, which is said, or the one that is chosen on the
 * terminal.
 *
 * @throws HalfturnError where there is no card, or nobody to ask
 */
export async function dumpOrCard(
  dump: string | undefined,
  command: string,
  places: CardPlaces,
): Promise<string> {
  if (dump !== undefined) return dump;
  const found = await findCards(places);
  const [only, second] = found.cards;
  if (only === undefined) throw noCard(found, command);
  if (!process.stdin.isTTY || !process.stdout.isTTY)
    throw nobodyToAsk(found.cards, command, process.platform === 'win32');
  if (second === undefined) {
    process.stderr.write(
      `Taking ${displayText(only.folder)} (${cardDetails(only)}), the only card that is mounted.\n`,
    );
    return only.folder;
  }
  return (await ask(found.cards)).folder;
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
