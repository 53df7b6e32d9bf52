import type { AuditDocument, ReportedSequence } from '../domain/report.ts';
import { isFlagged } from './arrangement.ts';
import { filterText } from './filterWording.ts';
import { findingTitles } from './findingTitles.ts';
import {
  counted,
  formatAngle,
  formatDuration,
  formatExposure,
  formatRate,
  formatStops,
  stopsInWords,
} from './format.ts';
import { lightLikeness } from './light.ts';

/** How to read the table. */
export const tableLegend =
  '! flagged, explained below; offsets in stops, + is more light; · not known; ≈ told by motion blur';

/** How many of what, and how many of them are flagged. */
export function countSentence({ recordings }: AuditDocument): string {
  if (recordings.length === 0) return 'No clips or stills were found.';
  const clips = recordings.filter(({ kind }) => kind === 'clip').length;
  const stills = recordings.length - clips;
  const kinds = [clips > 0 && counted(clips, 'clip'), stills > 0 && counted(stills, 'still')];
  const flagged = recordings.filter(isFlagged).length;
  return `${kinds.filter((part) => part !== false).join(' and ')}, ${flagged === 0 ? 'none' : flagged} flagged.`;
}

/** The light of the flight, the filters that were on, and those that would have been right. */
export function flightSentence(document: AuditDocument): string {
  const parts = [
    lightSentence(document),
    fittedSentence(document),
    pickSentence(document),
    measuredSentence(document),
  ];
  return parts.filter((part) => part !== undefined).join(' ');
}

function lightSentence({ recordings }: AuditDocument): string | undefined {
  if (recordings.length === 0) return undefined;
  const light = recordings
    .map(({ exposure }) => exposure.sceneEv100)
    .filter((ev100) => ev100 !== undefined)
    .toSorted((a, b) => a - b);
  const [low, high] = [light[0], light.at(-1)];
  if (low === undefined || high === undefined) return 'How bright the scene was is not known.';
  const range = [...new Set([low.toFixed(1), high.toFixed(1)])].join(' to ');
  const likeness = [...new Set([lightLikeness(low), lightLikeness(high)])].join(' up to ');
  return `Light on the scene: EV ${range} at ISO 100, as bright as ${likeness}.`;
}

function fittedSentence({ recordings }: AuditDocument): string | undefined {
  const fitted = tally(recordings.map(({ filter }) => filter?.fitted?.label));
  if (fitted.length === 0)
    return recordings.length === 0 ? undefined : 'Which filter was fitted is not known.';
  return `Filter fitted: ${fitted.map(([label]) => label).join(', ')}.`;
}

function pickSentence({ recordings, settings }: AuditDocument): string | undefined {
  const picks = tally(recordings.map(({ filter }) => filter?.pick?.label));
  const total = picks.reduce((sum, [, count]) => sum + count, 0);
  const [[first, firstCount] = ['', 0], ...others] = picks;
  if (total === 0) return undefined;
  const kit = settings.kitAssumed ? 'Best of the common strengths (no kit is set)' : 'Best from your kit';
  const every = firstCount === total && total > 1 ? 'all ' : '';
  const rest = others.map(([label, count]) => `, ${label} for ${count}`).join('');
  return `${kit}: ${first} for ${every}${counted(firstCount, 'recording')}${rest}.`;
}

/** Which strengths are not the label's. */
function measuredSentence({ settings }: AuditDocument): string | undefined {
  const used = settings.kit.flatMap(({ label, stops, measured }) =>
    measured === undefined
      ? []
      : `${label} counts as ${stops.toFixed(1)} stops (its label says ${Number(measured.labelStops.toFixed(1))}; ${counted(measured.pairs, 'pair')} of recordings)`,
  );
  return used.length === 0 ? undefined : `By the strengths in your logbook: ${used.join(', ')}.`;
}

/** Labels with how often each came, the most frequent first. */
function tally(labels: readonly (string | undefined)[]): [string, number][] {
  const counts = new Map<string, number>();
  for (const label of labels) if (label !== undefined) counts.set(label, (counts.get(label) ?? 0) + 1);
  return [...counts].toSorted(([, a], [, b]) => b - a);
}

/** A bracket or an interval series: what it is, and what is said of it, by topic. */
export interface SequenceSaid {
  readonly what: string;
  readonly said: readonly { readonly topic: string; readonly text: string }[];
}

/** The same as one text. */
export function sequenceText(sequence: ReportedSequence): string {
  const { what, said } = sequenceSaid(sequence);
  return [what, ...said.map(({ text }) => text)].join(' ');
}

export function sequenceSaid(sequence: ReportedSequence): SequenceSaid {
  const { kind, paths, filter, findings } = sequence;
  const members = `${counted(paths.length, 'still')}, ${paths[0] ?? ''} to ${paths.at(-1) ?? ''}`;
  const name = kind === 'bracket' ? 'Bracket' : 'Interval series';
  const details = kind === 'bracket' ? bracketDetails(sequence) : intervalDetails(sequence);
  const said = [
    ...findings.map(({ kind: found, text }) => ({ topic: findingTitles[found].topic, text })),
    { topic: 'playback', text: playbackText(sequence) },
    { topic: 'filter', text: (filter && filterText(filter)) ?? '' },
    ...(filter?.otherwise ?? []).map((text) => ({ topic: '', text })),
  ];
  return { what: `${name} of ${members}${details}.`, said: said.filter(({ text }) => text !== '') };
}

function bracketDetails({ stepsStops, spanStops }: ReportedSequence): string {
  if (stepsStops === undefined) return '';
  const span = spanStops === undefined ? '' : `, ${stopsInWords(spanStops)} in all`;
  return `, at ${stepsStops.map(formatStops).join(', ')} stops${span}`;
}

function intervalDetails({
  intervalSeconds,
  exposureSeconds,
  angleDegrees,
  missingFrames,
}: ReportedSequence): string {
  const every = intervalSeconds === undefined ? '' : `, one every ${formatDuration(intervalSeconds)}`;
  const exposed =
    exposureSeconds === undefined ? '' : `, each exposed for ${formatExposure(exposureSeconds)}`;
  const angle =
    angleDegrees === undefined ? '' : `, an effective shutter angle of ${formatAngle(angleDegrees)}`;
  const missing = missingFrames === undefined || missingFrames === 0 ? '' : `, ${missingFrames} missing`;
  return `${every}${exposed}${angle}${missing}`;
}

function playbackText({ playback = [] }: ReportedSequence): string {
  if (playback.length === 0) return '';
  const lengths = playback.map(
    ({ framesPerSecond, seconds }) => `${formatDuration(seconds)} at ${formatRate(framesPerSecond)} fps`,
  );
  return `It plays for ${lengths.join(', ')}.`;
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

/** What was done with single files; the first of many. */
export function noteTexts({ notes = [] }: AuditDocument): readonly string[] {
  const shown = notes.slice(0, mostNotes).map(({ path, message }) => `${path} ${message}.`);
  const more = notes.length - shown.length;
  return more === 0 ? shown : [...shown, `${counted(more, 'more note')} in audit.json.`];
}

/** What was left alone, counted; undefined where nothing was. */
export function leftAsideText({ leftAside }: AuditDocument): string | undefined {
  const parts = Object.entries(leftAside).map(
    ([what, count]) => leftAsideWords[what]?.(count) ?? `${count} ${what}`,
  );
  return parts.length === 0 ? undefined : `${parts.join(', ')}.`;
}
