import type { ReportedSequence } from '../document/auditDocument.ts';
import { filterText } from './filterWording.ts';
import { findingTopic } from '../findings/index.ts';
import {
  counted,
  formatAngle,
  formatDuration,
  formatExposure,
  formatRate,
  formatStops,
  stopsInWords,
} from '../domain/format.ts';

/** The page has all of them. */
const mostAlternatives = 2;

/** A bracket or an interval series: what it is, and sentences about it, by topic. */
export interface SequenceSummary {
  readonly heading: string;
  readonly entries: readonly { readonly topic: string; readonly text: string }[];
}

/** The same as one text. */
export function sequenceText(sequence: ReportedSequence): string {
  const { heading, entries } = sequenceSummary(sequence);
  return [heading, ...entries.map(({ text }) => text)].join(' ');
}

export function sequenceSummary(sequence: ReportedSequence): SequenceSummary {
  const { kind, paths, filter, findings } = sequence;
  const members = `${counted(paths.length, 'still')}, ${paths[0] ?? ''} to ${paths.at(-1) ?? ''}`;
  const name = kind === 'bracket' ? 'Bracket' : 'Interval series';
  const details = kind === 'bracket' ? bracketDetails(sequence) : intervalDetails(sequence);
  const entries = [
    ...findings.map(({ kind: found, text }) => ({ topic: findingTopic(found), text })),
    { topic: 'playback', text: playbackText(sequence) },
    { topic: 'filter', text: (filter && filterText(filter)) ?? '' },
    ...(filter?.otherwise ?? []).slice(0, mostAlternatives).map((text) => ({ topic: '', text })),
  ];
  return {
    heading: `${name} of ${members}${details}.`,
    entries: entries.filter(({ text }) => text !== ''),
  };
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
