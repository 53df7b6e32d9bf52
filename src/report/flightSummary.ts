import type { AuditDocument, ReportedSequence } from '../document/auditDocument.ts';
import type { ReportedRecording } from '../document/reportedRecording.ts';
import { counted, formatEv, capital, formatRate } from '../domain/format.ts';
import { mostFrequentFirst } from '../domain/grouping.ts';
import { findingTitle, type FindingKind } from '../findings/index.ts';
import { fileName, firstFew, isFlagged, weighsEnough } from './arrangement.ts';
import { sequenceNames } from './sequenceWording.ts';

interface FlightLine {
  readonly label: 'fitted' | 'strength' | 'light' | 'rates';
  readonly text: string;
}

/** How many of what, how many of them are flagged, and how many brackets and series are flagged as a whole. */
export function countSentence(document: AuditDocument): string {
  const { recordings, sequences, problems } = document;
  if (recordings.length === 0)
    return problems.length === 0 ? 'No clips or stills were found.' : 'No clip or still could be read.';
  const clips = recordings.filter(({ kind }) => kind === 'clip').length;
  const kinds = listed([
    [clips, 'clip'],
    [recordings.length - clips, 'still'],
  ]);
  const flagged = recordings.filter(isFlagged).length;
  const together = sequences.filter(isFlagged);
  const series = listed(
    Object.entries(sequenceNames).map(([kind, { singular, plural }]) => [
      together.filter((sequence) => sequence.kind === kind).length,
      singular,
      plural,
    ]),
  );
  const unmeasured = unmeasuredSentence(document);
  // Of pictures that nobody looked at, "none flagged" would say too much.
  const unjudged = unmeasured !== '' && flagged === 0 && recordings.every(isUnmeasured);
  const verdict = unjudged ? '' : `, ${flagged === 0 ? 'none' : flagged} flagged`;
  // They look like recordings to whoever put them there.
  const edited = document.leftAside['edited'] ?? 0;
  const exports =
    edited === 0 ? '' : ` ${counted(edited, 'export', 'exports')} of other programs left aside.`;
  return `${kinds}${verdict}${series && `; ${series} flagged as a whole`}.${unmeasured}${exports}`;
}

function isUnmeasured({ picture }: ReportedRecording): boolean {
  return picture === undefined;
}

/** How many of the stills and clips could not be measured, with the reason where it is the same for all. */
function unmeasuredSentence({ recordings, problems, settings }: AuditDocument): string {
  const unmeasured = recordings.filter(isUnmeasured);
  if (settings.measure === 'off' || unmeasured.length === 0) return '';
  const parts = (['clip', 'still'] as const).flatMap((kind) => {
    const ofKind = (each: ReportedRecording) => each.kind === kind;
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
function listed(counts: readonly (readonly [count: number, noun: string, plural?: string])[]): string {
  return counts
    .filter(([count]) => count > 0)
    .map((each) => counted(...each))
    .join(' and ');
}

/** The filters that were on, the light of the flight, and rates that do not mix. */
export function flightLines(document: AuditDocument): readonly FlightLine[] {
  const lines: readonly (readonly [FlightLine['label'], string | undefined])[] = [
    ['fitted', filtersFitted(document)],
    ['strength', strengthsFound(document)],
    ['light', lightText(document)],
    ['rates', mixedRates(document)],
  ];
  return lines.flatMap(([label, text]) => (text === undefined ? [] : [{ label, text }]));
}

function lightText({ recordings }: AuditDocument): string | undefined {
  if (recordings.length === 0) return undefined;
  const light = recordings
    .map(({ exposure }) => exposure.sceneEv100)
    .filter((ev100) => ev100 !== undefined)
    .toSorted((a, b) => a - b);
  const [low, high] = [light[0], light.at(-1)];
  if (low === undefined || high === undefined) return 'not known';
  const range = [...new Set([formatEv(low), formatEv(high)])].join(' to ');
  const likeness = [...new Set([lightLikeness(low), lightLikeness(high)])].join(' up to ');
  return `EV ${range} at ISO 100, as bright as ${likeness}`;
}

function filtersFitted({ recordings }: AuditDocument): string | undefined {
  if (recordings.length === 0) return undefined;
  const labels = mostFrequentFirst(recordings.flatMap(({ filter }) => filter?.fitted?.label ?? []));
  return labels.length === 0 ? 'not known' : labels.map(([label]) => label).join(', ');
}

/** Which strengths are not the label's. */
function strengthsFound({ settings }: AuditDocument): string | undefined {
  const used = settings.kit.flatMap(({ label, stops, measured }) =>
    measured === undefined
      ? []
      : `${label} counts as ${stops.toFixed(1)} stops by your logbook (by its label ${Number(measured.labelStops.toFixed(1))}; ${counted(measured.pairs, 'pair')} of recordings)`,
  );
  return used.length === 0 ? undefined : used.join(', ');
}

function nameOf({ path }: { readonly path: string }): string {
  return fileName(path);
}

// Scene brightness as EV at ISO 100, from the exposure guides ANSI PH2.7-1973 and PH2.7-1986 (as merged in the table
// "Exposure value" of general encyclopedias): sand or snow in sun 16, typical scene in sun 15, hazy sun 14, cloudy
// bright 13, heavy overcast or open shade 12, skyline at sunset 12, just after sunset 9 to 11, street at night 7 to 8.
const scenes: readonly { readonly aboveEv100: number; readonly name: string }[] = [
  { aboveEv100: 15.5, name: 'sunlit sand or snow' },
  { aboveEv100: 14.5, name: 'full sun' },
  { aboveEv100: 13.5, name: 'hazy sun' },
  { aboveEv100: 12.5, name: 'a bright cloudy day' },
  { aboveEv100: 11.5, name: 'heavy overcast or open shade' },
  { aboveEv100: 8.5, name: 'the minutes around sunset' },
];

/** What light of this brightness is usually like. It names a brightness, not the weather of the day. */
function lightLikeness(ev100: number): string {
  return scenes.find(({ aboveEv100 }) => ev100 >= aboveEv100)?.name ?? 'dusk or lamplight';
}

const namesOfRate = 3;
const mostRates = 5;

/** Which clips cannot be cut evenly with the rest of the flight, by their rates; undefined where all can. */
function mixedRates({ recordings }: Pick<AuditDocument, 'recordings'>): string | undefined {
  const isOdd = ({ findings }: ReportedRecording) => findings.some(({ kind }) => kind === 'frame-rate-mix');
  const odd = pathsByRate(recordings.filter(isOdd));
  if (odd.length === 0) return undefined;
  const usual = pathsByRate(recordings.filter((recording) => !isOdd(recording))).map(([rate]) => rate);
  const named = odd
    .slice(0, mostRates)
    .map(([rate, paths]) => `${rate} fps in ${firstFew(paths.map(fileName), namesOfRate)}`);
  const more = odd.slice(mostRates).flatMap(([, paths]) => paths).length;
  return (
    `${[...named, ...(more === 0 ? [] : [`other rates in ${more} more`])].join('; ')}. ` +
    `Cut with the rest (${firstFew(usual, mostRates)} fps) these stutter: ` +
    'use them for short shots, or let the editing program interpolate frames'
  );
}

/** Paths of clips by the rate that they play at, the most frequent rate first. */
function pathsByRate(recordings: readonly ReportedRecording[]): readonly (readonly [string, string[]])[] {
  const byRate = new Map<string, string[]>();
  for (const { path, kind, facts } of recordings) {
    const rate = facts.playbackFramesPerSecond ?? facts.framesPerSecond;
    if (kind !== 'clip' || rate === undefined) continue;
    const shown = formatRate(rate.value);
    byRate.set(shown, [...(byRate.get(shown) ?? []), path]);
  }
  return [...byRate].toSorted(([, a], [, b]) => b.length - a.length);
}

/** One of the things that matter most on this card, as a sentence. */
interface Headline {
  readonly text: string;
  /** Where the first that it is about stands in the document; absent of files that could not be read. */
  readonly first?: { readonly list: 'recordings' | 'sequences'; readonly index: number };
}

const mostHeadlines = 3;
const mostNames = 4;
const weights = { high: 8, medium: 1, low: 0 };

interface Group {
  readonly kind: FindingKind;
  readonly first: NonNullable<Headline['first']>;
  /** What it is about, by its place in the list. */
  readonly names: Map<number, string>;
  score: number;
}

/**
 * The three kinds of findings that cost the flight most, each with how many recordings, brackets or series have it: one
 * finding of high weight counts as much as eight of medium weight. Files that nothing could be read from come first.
 */
export function headlines({ recordings, sequences, problems }: AuditDocument): readonly Headline[] {
  const read = new Set(recordings.map(({ path }) => path));
  const unread = problems.filter(({ path, about }) => about === undefined && !read.has(path)).map(nameOf);
  const groups = new Map<FindingKind, Group>();
  const places = [
    ...recordings.map((each, index) => ({ list: 'recordings', index, each, name: nameOf(each) }) as const),
    ...sequences.map((each, index) => ({ list: 'sequences', index, each, name: endsOf(each) }) as const),
  ];
  for (const { list, index, each, name } of places)
    for (const { kind, weight } of each.findings.filter(weighsEnough)) {
      const group = groups.get(kind) ?? { kind, first: { list, index }, names: new Map(), score: 0 };
      group.names.set(index, name);
      group.score += weights[weight];
      groups.set(kind, group);
    }
  const costly = [...groups.values()]
    .toSorted((a, b) => b.score - a.score)
    .map((group): Headline => ({ text: groupText(group), first: group.first }));
  const unreadText = `${counted(unread.length, 'file')} could not be read: ${firstFew(unread, mostNames)}.`;
  const lost: readonly Headline[] = unread.length === 0 ? [] : [{ text: unreadText }];
  return [...lost, ...costly].slice(0, mostHeadlines);
}

/** The title of a bracket or series says already what it is about. */
function groupText({ kind, first, names }: Group): string {
  const title = capital(findingTitle(kind));
  const named = firstFew([...names.values()], mostNames);
  if (first.list === 'recordings') return `${title} in ${counted(names.size, 'recording')}: ${named}.`;
  return names.size === 1 ? `${title}: ${named}.` : `${title}, ${names.size} times: ${named}.`;
}

function endsOf({ paths }: ReportedSequence): string {
  return [paths[0], paths.at(-1)].map((path = '') => fileName(path)).join(' to ');
}
