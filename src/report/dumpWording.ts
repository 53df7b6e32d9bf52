import type { AuditDocument } from '../document/auditDocument.ts';
import { displayText } from '../domain/displayText.ts';
import { counted } from '../domain/format.ts';
import { groupedBy } from '../domain/grouping.ts';
import type { Problem } from '../domain/recording.ts';
import { firstFew } from './arrangement.ts';

/** A problem as two sentences: what is wrong, what to do. */
export function problemText({ message, hint }: Problem): string {
  const parts = [message, hint].filter((part) => part !== '');
  return parts.map((part) => sentence(displayText(part))).join(' ');
}

/** Ends a text like a sentence where it does not end like one yet. */
export function sentence(text: string): string {
  return /[.!?]$/.test(text) ? text : `${text}.`;
}

export const standingCautions: readonly string[] = [
  'Power the aircraft down before you touch a filter. Seat it without a gap, then let the gimbal go through its own check before take-off.',
  'A filter for the camera is no solar viewer: never look at the sun through it, not even through the strongest ND.',
  "Local flight rules and the maker's limits for aircraft and gimbal come first. Nothing said here overrides them.",
];

/** The same in a line, wherever a change of filter is advised. */
export const cautionLine = 'Power down before touching a filter; none is a solar viewer; local rules first.';

const mostNames = 6;

/**
 * Equal problems said once, in the order of the first of each. A card whose files are all damaged has one problem for
 * each of them and one thing to say. The text goes on where the name of the files ends.
 */
export function problemGroups(problems: readonly Problem[]) {
  return [...groupedBy(problems, problemText)].map(([text, alike]) => {
    const files = alike.length;
    const names = firstFew(
      alike.map(({ path }) => path),
      mostNames,
    );
    if (files === 1) return { name: names, text, files };
    return { name: `${names}${files > mostNames ? ` (${files} in all)` : ''}:`, text: `each ${text}`, files };
  });
}

const leftAsideWords: Readonly<Record<string, (count: number) => string>> = {
  hidden: (count) => counted(count, 'hidden file'),
  proxies: (count) => counted(count, 'low-resolution copy', 'low-resolution copies'),
  thumbnails: (count) => counted(count, 'thumbnail'),
  links: (count) => counted(count, 'link'),
  'unpaired-sidecars': (count) =>
    counted(count, 'sidecar without its recording', 'sidecars without their recording'),
  duplicates: (count) => counted(count, 'copy', 'copies'),
  edited: (count) => counted(count, 'export of another program', 'exports of other programs'),
  other: (count) => counted(count, 'other file'),
};

const mostNotes = 12;

/** What was left alone, counted, and what was done with single files; the first of many. */
export function leftAsideTexts({ leftAside, notes = [] }: AuditDocument): readonly string[] {
  const counts = Object.entries(leftAside).map(
    ([what, count]) => leftAsideWords[what]?.(count) ?? `${count} ${what}`,
  );
  const shown = notes.slice(0, mostNotes).map(({ path, message }) => `${path} ${message}.`);
  const more = notes.length - shown.length;
  return [
    ...(counts.length === 0 ? [] : [`${counts.join(', ')}.`]),
    ...shown,
    ...(more === 0 ? [] : [`${counted(more, 'more note')} in audit.json.`]),
  ];
}
