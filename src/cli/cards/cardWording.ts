import { displayText } from '../../domain/displayText.ts';
import { HalfturnError } from '../../domain/halfturnError.ts';
import { counted } from '../../domain/format.ts';
import type { FoundCards } from './findCards.ts';
import type { Card } from './search.ts';

/** What a pilot reads of a card: size and number of recordings. */
export function cardDetails({ recordings, sizeBytes }: Card): string {
  const size = sizeBytes === undefined ? '' : `${(sizeBytes / 1e9).toFixed(0)} GB, `;
  return `${size}${counted(recordings, 'recording')}`;
}

/** The numbered list. */
export function cardList(cards: readonly Card[]): string {
  const names = cards.map(({ folder }) => displayText(folder));
  const width = Math.max(...names.map((name) => name.length));
  const rows = cards.map((card, at) => `  ${at + 1}  ${names[at]!.padEnd(width)}  ${cardDetails(card)}`);
  return ['These cards are mounted:', ...rows, ''].join('\n');
}

/** The number that was typed, if it is one of the list. `leave` where the line was empty. */
export function readChoice(line: string, count: number): number | 'leave' | undefined {
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
  const found = cards.map((card) => `${displayText(card.folder)} (${cardDetails(card)})`).join(', ');
  return new HalfturnError(
    `No folder was named, and there is no terminal to ask on. Mounted: ${found}`,
    `Name it: halfturn ${command} ${quoted(cards[0]!.folder, isWindows)}`,
  );
}

/**
 * A path as a shell takes it.
 *
 * @example quoted('/media/CARD A', false) // "'/media/CARD A'"
 */
export function quoted(folder: string, isWindows: boolean): string {
  const shown = displayText(folder);
  if (isWindows) return /\s/.test(shown) ? `"${shown}"` : shown;
  return /^[\w./:-]+$/.test(shown) ? shown : `'${shown.replaceAll("'", "'\\''")}'`;
}
