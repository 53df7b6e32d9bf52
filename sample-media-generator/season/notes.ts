import { basename } from 'node:path';
import type { FlightTruth } from './truth.ts';

/** Where `halfturn note` writes them, beside the card. */
export function notesFile(folder: string): string {
  return `${folder}.flight.toml`;
}

/** The head of the proposal as it is, and below it what the pilot believes was fitted. */
export function correctedNotes(proposal: string, { recordings }: FlightTruth): string {
  const lines = proposal.split('\n');
  const head = lines.slice(0, lines.findIndex((line) => line.startsWith('# Filters:')) + 1);
  const worn = new Map<string, string[]>();
  for (const { noted, file } of recordings) worn.set(noted, [...(worn.get(noted) ?? []), basename(file)]);
  const groups = [...worn].flatMap(([filter, files]) => [
    '',
    '[[fitted]]',
    `filter = "${filter}"`,
    `files = ${JSON.stringify(files)}`,
  ]);
  return [...head, ...groups, ''].join('\n');
}
