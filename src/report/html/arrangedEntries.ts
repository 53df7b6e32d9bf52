import { groupedBy } from '../../domain/grouping.ts';
import { seriousnessOf } from '../arrangement.ts';
import type { Kit } from '../carryWording.ts';
import { filterText } from '../filterWording.ts';
import { isVisiblyFaulty, type PageRecording } from './pageRecording.ts';

/** More would be many screens before anything is asked for. */
const mostOpened = 4;

/** Which entries are open from the start, and which say word for word what an earlier one says. */
export function arrangedEntries(entries: readonly PageRecording[], kit: Kit) {
  const firstAlike = new Map<PageRecording, PageRecording>();
  for (const [said, alike] of groupedBy(entries, (entry) => saidOf(entry, kit)))
    if (said !== '') for (const later of alike.slice(1)) firstAlike.set(later, alike[0]!);
  // The most serious of those whose faults an audience sees.
  const faulty = entries.filter((entry) => isVisiblyFaulty(entry) && !firstAlike.has(entry));
  const worstFirst = faulty.toSorted((a, b) => seriousnessOf(b.recording) - seriousnessOf(a.recording));
  return { opened: new Set(worstFirst.slice(0, mostOpened)), firstAlike };
}

function saidOf({ recording: { findings, filter } }: PageRecording, kit: Kit): string {
  const texts = findings.map(({ text, inTheEdit, nextTime }) => [text, inTheEdit, nextTime].join('\n'));
  return texts.length === 0 ? '' : [...texts, (filter && filterText(filter, kit)) ?? ''].join('\n');
}
