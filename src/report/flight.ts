import { fileName, firstFew, isFlagged } from './arrangement.ts';
import { mixedRates } from './flightRates.ts';
import { counted, formatEv } from '../domain/format.ts';
import type { AuditInShort, RecordingInShort, Use } from './inShort.ts';
import { lightLikeness } from './light.ts';

/** One thing that is said of the whole flight. */
export interface FlightLine {
  readonly label: 'usable' | 'carry' | 'fitted' | 'strength' | 'light' | 'rates';
  readonly text: string;
}

/** How many of what, how many of them are flagged, and how many brackets and series are flagged as a whole. */
export function countSentence(document: AuditInShort): string {
  const { recordings, sequences } = document;
  if (recordings.length === 0) return 'No clips or stills were found.';
  const clips = recordings.filter(({ kind }) => kind === 'clip').length;
  const kinds = listed([
    [clips, 'clip'],
    [recordings.length - clips, 'still'],
  ]);
  const flagged = recordings.filter(isFlagged).length;
  const together = sequences.filter(isFlagged);
  const brackets = together.filter(({ kind }) => kind === 'bracket').length;
  const series = listed([
    [brackets, 'bracket'],
    [together.length - brackets, 'interval series', 'interval series'],
  ]);
  const unmeasured = unmeasuredSentence(document);
  // Of pictures that nobody looked at, "none flagged" would say too much.
  const nothingSeen = unmeasured !== '' && flagged === 0 && recordings.every(isUnmeasured);
  const verdict = nothingSeen ? '' : `, ${flagged === 0 ? 'none' : flagged} flagged`;
  return `${kinds}${verdict}${series && `; ${series} flagged as a whole`}.${unmeasured}`;
}

function isUnmeasured({ framesMeasured }: RecordingInShort): boolean {
  return framesMeasured === undefined;
}

/** How many of the stills and clips could not be measured, with the reason where it is the same for all. */
function unmeasuredSentence({ recordings, problems, settings }: AuditInShort): string {
  const unmeasured = recordings.filter(isUnmeasured);
  if (settings.measure === 'off' || unmeasured.length === 0) return '';
  const parts = (['clip', 'still'] as const).flatMap((kind) => {
    const ofKind = (each: RecordingInShort) => each.kind === kind;
    const count = unmeasured.filter(ofKind).length;
    return count === 0 ? [] : `${count} of ${counted(recordings.filter(ofKind).length, kind)}`;
  });
  const paths = new Set(unmeasured.map(({ path }) => path));
  const reasons = new Set(problems.filter(({ path }) => paths.has(path)).map(({ message }) => message));
  const [reason = ''] = reasons.size === 1 ? reasons : [];
  const because = /only read: (.+)$/.exec(reason)?.[1];
  return ` ${parts.join(' and ')} could not be measured${because === undefined ? '' : `: ${because}`}.`;
}

/** "2 clips and 1 still"; what there is none of is left out. */
function listed(counts: readonly (readonly [count: number, one: string, many?: string])[]): string {
  return counts
    .filter(([count]) => count > 0)
    .map((each) => counted(...each))
    .join(' and ');
}

/** What can be used of the flight, the filters to carry and those that were on, its light, and rates that do not mix. */
export function flightLines(document: AuditInShort): readonly FlightLine[] {
  const lines: readonly (readonly [FlightLine['label'], string | undefined])[] = [
    ['usable', usableClips(document)],
    ['carry', filtersToCarry(document)],
    ['fitted', filtersFitted(document)],
    ['strength', strengthsFound(document)],
    ['light', lightText(document)],
    ['rates', mixedRates(document)],
  ];
  return lines.flatMap(([label, text]) => (text === undefined ? [] : [{ label, text }]));
}

function lightText({ recordings }: AuditInShort): string | undefined {
  if (recordings.length === 0) return undefined;
  const light = recordings
    .map(({ sceneEv100 }) => sceneEv100)
    .filter((ev100) => ev100 !== undefined)
    .toSorted((a, b) => a - b);
  const [low, high] = [light[0], light.at(-1)];
  if (low === undefined || high === undefined) return 'not known';
  const range = [...new Set([formatEv(low), formatEv(high)])].join(' to ');
  const likeness = [...new Set([lightLikeness(low), lightLikeness(high)])].join(' up to ');
  return `EV ${range} at ISO 100, as bright as ${likeness}`;
}

function filtersFitted({ recordings }: AuditInShort): string | undefined {
  if (recordings.length === 0) return undefined;
  const labels = tally(recordings.map(({ fitted }) => fitted));
  return labels.length === 0 ? 'not known' : labels.map(([label]) => label).join(', ');
}

function filtersToCarry({ recordings, settings }: AuditInShort): string | undefined {
  const labels = tally(recordings.map(({ carry }) => carry));
  const [[first, firstCount] = ['', 0], ...others] = labels;
  if (firstCount === 0) return undefined;
  const every = others.length === 0 && firstCount > 1 ? 'all ' : '';
  const rest = others.map(([label, count]) => `, ${label} for ${count}`).join('');
  const kit = settings.kitAssumed ? ', of the common strengths (no kit is set)' : '';
  return `${first} for ${every}${counted(firstCount, 'recording')}${rest}${kit}`;
}

/** Which strengths are not the label's. */
function strengthsFound({ settings }: AuditInShort): string | undefined {
  const used = settings.kit.flatMap(({ label, stops, measured }) =>
    measured === undefined
      ? []
      : `${label} counts as ${stops.toFixed(1)} stops by your logbook (by its label ${Number(measured.labelStops.toFixed(1))}; ${counted(measured.pairs, 'pair')} of recordings)`,
  );
  return used.length === 0 ? undefined : used.join(', ');
}

/** How many clips can be used, as far as the pictures were measured, and which cannot. */
function usableClips({ recordings }: AuditInShort): string | undefined {
  const measured = recordings.filter(({ use }) => use !== undefined);
  const having = (wanted: Use) => measured.filter(({ use }) => use === wanted);
  const [whole, part, none] = [having('whole'), having('part'), having('none')];
  const parts = [
    whole.length > 0 &&
      `${whole.length} of ${counted(measured.length, 'clip')} all through${reservation(whole)}`,
    part.length > 0 && `${part.length} in part`,
    none.length > 0 &&
      `no stretch of ${firstFew(
        none.map(({ path }) => fileName(path)),
        4,
      )}`,
  ].filter((each) => each !== false);
  return parts.length === 0 ? undefined : parts.join(', ');
}

function reservation(recordings: readonly RecordingInShort[]): string {
  const silent = recordings.filter(({ isShutterKnown }) => !isShutterKnown).length;
  return silent === 0 ? '' : ` (the shutter of ${silent} is not known)`;
}

/** Labels with how often each came, the most frequent first. */
function tally(labels: readonly (string | undefined)[]): [string, number][] {
  const counts = new Map<string, number>();
  for (const label of labels) if (label !== undefined) counts.set(label, (counts.get(label) ?? 0) + 1);
  return [...counts].toSorted(([, a], [, b]) => b - a);
}
