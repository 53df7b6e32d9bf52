import type { AuditDocument } from '../document/auditDocument.ts';
import { counted } from '../domain/format.ts';

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

/** What was done with single files; the first of many. */
export function noteTexts({ notes = [] }: Pick<AuditDocument, 'notes'>): readonly string[] {
  const shown = notes.slice(0, mostNotes).map(({ path, message }) => `${path} ${message}.`);
  const more = notes.length - shown.length;
  return more === 0 ? shown : [...shown, `${counted(more, 'more note')} in audit.json.`];
}

/** What was left alone, counted; undefined where nothing was. */
export function leftAsideText({ leftAside }: Pick<AuditDocument, 'leftAside'>): string | undefined {
  const parts = Object.entries(leftAside).map(
    ([what, count]) => leftAsideWords[what]?.(count) ?? `${count} ${what}`,
  );
  return parts.length === 0 ? undefined : `${parts.join(', ')}.`;
}
