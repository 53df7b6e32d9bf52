import type { ReportedSettings } from '../document/auditDocument.ts';
import type { ReportedFilter } from '../document/reportedRecording.ts';
import type { FilterPick } from '../domain/advice.ts';
import { formatStops, stopsInWords } from '../domain/format.ts';

/** The filters that there are to choose from. */
export type Kit = Pick<ReportedSettings, 'kit' | 'kitAssumed'>;

/** Whether light was told and nobody said through which filter. */
export function isFittedUnknown({ fitted, additionalStops }: ReportedFilter): boolean {
  return fitted === undefined && additionalStops !== undefined;
}

/** The filter to carry in a few characters: its label, or the change where what was fitted is unknown. */
export function filterInShort(filter: ReportedFilter | undefined): string | undefined {
  if (filter?.additionalAtLeastStops !== undefined)
    return `≥ ${formatStops(filter.additionalAtLeastStops)} stops`;
  const label = labelToCarry(filter);
  if (label !== undefined || filter?.additionalStops === undefined) return label;
  return filter.change === 'none' ? 'same' : `${formatStops(filter.additionalStops)} stops`;
}

/** The label of the filter to carry: what was on where that was right, else the best of the kit; none for a guess. */
export function labelToCarry(filter: ReportedFilter | undefined): string | undefined {
  if (filter === undefined || isFittedUnknown(filter)) return undefined;
  if (filter.change === 'none') return filter.fitted?.label;
  return filter.pick?.stops === 0 ? 'none' : filter.pick?.label;
}

/** What to carry for one recording, in the pilot's words where nobody said what was on. */
export function carryWords(filter: ReportedFilter | undefined, kit: Kit): string | undefined {
  if (filter === undefined) return undefined;
  if (!isFittedUnknown(filter)) return labelToCarry(filter);
  return filter.change === 'none' ? sameAgain : pilotsWords(filter.additionalStops!, kit, filter.pick);
}

const sameAgain = 'what was on the lens';

/** A filter is near enough to a wanted strength within half a stop: kits are spaced by a stop. */
const nearStops = 0.5;
/** Whether a change is smaller than the step to another filter. */
export function isSameFilter(additionalStops: number): boolean {
  return Math.abs(additionalStops) < nearStops;
}

/** A strength that stands for "a filter was on": three stops are in most kits (common practice, no source). */
const usualStops = 3;

/**
 * What to carry in place of what may have been on the lens. A strength that the kit lacks is named by its factor on a bare
 * lens; in place of a filter only one of the kit is.
 * @param pick the best of the kit on a bare lens, where that is known more closely
 * @example pilotsWords(3, { kitAssumed: true, kit: [{ label: 'ND8', stops: 3 }, { label: 'ND64', stops: 6 }] }) // 'ND8 on a bare lens, ND64 in place of ND8'
 */
export function pilotsWords(additionalStops: number, { kit, kitAssumed }: Kit, pick?: FilterPick): string {
  if (isSameFilter(additionalStops)) return sameAgain;
  const countable = kit.filter(({ graduated, rangeStops }) => graduated !== true && rangeStops === undefined);
  const ofKit = (stops: number): string | undefined => {
    if (stops < nearStops) return stops > -nearStops ? 'no filter' : undefined;
    const nearest = countable.toSorted((a, b) => Math.abs(a.stops - stops) - Math.abs(b.stops - stops))[0];
    return nearest !== undefined && Math.abs(nearest.stops - stops) <= nearStops ? nearest.label : undefined;
  };
  const byFactor = `ND${2 ** Math.round(additionalStops)}${kitAssumed ? '' : ' (not in your kit)'}`;
  const onBareLens = pick === undefined ? (ofKit(additionalStops) ?? byFactor) : setTo(pick);
  const [instead] = countable
    .toSorted((a, b) => Math.abs(a.stops - usualStops) - Math.abs(b.stops - usualStops))
    .flatMap(({ label, stops }) => {
      const other = ofKit(stops + additionalStops);
      return other === undefined || other === label ? [] : [`${other} in place of ${label}`];
    });
  const parts = [
    ...(additionalStops > 0 ? [`${onBareLens} on a bare lens`] : []),
    ...(instead ? [instead] : []),
  ];
  return parts.length === 0 ? 'less than the weakest of your kit' : parts.join(', ');
}

/** A filter of the kit, and what to set it to where it is variable. */
export function setTo({ label, stops, variable }: FilterPick): string {
  if (stops === 0) return 'none';
  return variable === true ? `${label}, set to about ${stopsInWords(stops)}` : label;
}
