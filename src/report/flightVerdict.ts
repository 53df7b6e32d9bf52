import type { AuditDocument, ReportedSettings } from '../document/auditDocument.ts';
import type { ReportedFilter, ReportedRecording } from '../document/reportedRecording.ts';
import type { FilterChange } from '../domain/advice.ts';
import {
  capital,
  counted,
  formatDuration,
  formatExposure,
  formatRate,
  stopsInWords,
} from '../domain/format.ts';
import { mostFrequentFirst } from '../domain/grouping.ts';
import { findingTitle, type FindingKind } from '../findings/index.ts';
import { fileName, firstFew, weighsEnough } from './arrangement.ts';
import { spanText } from './clipPlace.ts';
import { carryWords, isFittedUnknown, labelToCarry } from './carryWording.ts';
import { bestStretch, useNames, uses, usesOf, type Use } from './recordingUse.ts';

interface VerdictLine {
  readonly label: 'lost' | 'best' | 'carry' | 'change';
  readonly text: string;
}

/** How many recordings are for which use, in one sentence; undefined where no picture was measured. */
export function useSentence(document: AuditDocument): string | undefined {
  const all = usesOf(document);
  const count = (use: Use | undefined) => all.filter((each) => each === use).length;
  if (count(undefined) === all.length) return undefined;
  const parts = uses.map((use) => `${useNames[use]} ${count(use)}`);
  const unmeasured = count(undefined) === 0 ? '' : `; ${count(undefined)} not measured`;
  return `${capital(parts.join(', '))}${unmeasured}.`;
}

/** The best that there is, what to carry next time and the one thing to change, as far as any can be said. */
export function verdictLines(document: AuditDocument): readonly VerdictLine[] {
  const lines: readonly (readonly [VerdictLine['label'], string | undefined])[] = [
    ['lost', unreadText(document)],
    ['best', bestText(document)],
    ['carry', carryText(document)],
    ['change', changeText(document)],
  ];
  return lines.flatMap(([label, text]) => (text === undefined ? [] : [{ label, text }]));
}

const mostNames = 4;

/** Files that nothing could be read from. */
function unreadText({ recordings, problems }: AuditDocument): string | undefined {
  const read = new Set(recordings.map(({ path }) => path));
  const unread = problems.filter(({ path, about }) => about === undefined && !read.has(path));
  if (unread.length === 0) return undefined;
  const names = firstFew(
    unread.map(({ path }) => fileName(path)),
    mostNames,
  );
  return `${counted(unread.length, 'file')} could not be read: ${names}`;
}

function bestText(document: AuditDocument): string | undefined {
  const best = bestStretch(document);
  if (best === undefined) return undefined;
  const { recording, mark, seconds } = best;
  const whole = seconds === recording.facts.durationSeconds?.value;
  const place = whole ? `all ${formatDuration(seconds)} of it` : spanText(recording, mark);
  return `${fileName(recording.path)}, ${place}${whole ? '' : ` (${formatDuration(seconds)})`}`;
}

const mostLabels = 4;

/** Filters by how many recordings they fit; where nobody said what was on, by what may have been. */
function carryText({ recordings, settings }: AuditDocument): string | undefined {
  const filters = recordings.flatMap(({ filter }) => filter ?? []);
  const advised = filters.flatMap((filter) => (isFittedUnknown(filter) ? [] : (labelToCarry(filter) ?? [])));
  const [[first, count] = ['', 0], ...others] = mostFrequentFirst(advised);
  const unknown = filters.filter(isFittedUnknown).toSorted((a, b) => a.additionalStops! - b.additionalStops!);
  const kit = settings.kitAssumed ? ' (no kit is set)' : '';
  const rare = others.slice(mostLabels - 1).reduce((sum, [, more]) => sum + more, 0);
  const fits = [
    `${first} fits ${count} of ${counted(advised.length, 'recording')}`,
    ...others.slice(0, mostLabels - 1).map(([label, more]) => `${label} ${more}`),
    ...(rare > 0 ? [`others ${rare}`] : []),
  ];
  const parts = [
    count > 0 && fits.join(', '),
    unknown.length > advised.length && wordsForUnknown(unknown, settings),
  ].filter((part) => part !== false && part !== undefined);
  return parts.length === 0 ? undefined : `${parts.join('; ')}${kit}`;
}

/** From this share on of recordings that asked for more and of those that asked for less no filter is the usual one. */
const mixedShare = 0.2;

/** @param unknown advice where nobody said what was on, by the light to take away, the least first */
function wordsForUnknown(
  unknown: readonly ReportedFilter[],
  settings: AuditDocument['settings'],
): string | undefined {
  const middle = (all: readonly ReportedFilter[]) => all[Math.floor((all.length - 1) / 2)];
  const ofChange = (wanted: FilterChange) => unknown.filter(({ change }) => change === wanted);
  const [more, less] = [ofChange('stronger'), ofChange('weaker')];
  if (Math.min(more.length, less.length) < mixedShare * unknown.length)
    return carryWords(middle(unknown), settings);
  const amount = (all: readonly ReportedFilter[]) => stopsInWords(Math.abs(middle(all)!.additionalStops!));
  return `${counted(more.length, 'clip')} had ${amount(more)} of light too much (${carryWords(middle(more), settings)}), ${less.length} had ${amount(less)} too little`;
}

const weights = { high: 8, medium: 1, low: 0 };

/** The setting or habit that would have saved most: one finding of high weight counts as much as eight of medium. */
function changeText({ recordings, settings }: AuditDocument): string | undefined {
  const scores = new Map<FindingKind, { score: number; of: ReportedRecording[] }>();
  for (const recording of recordings)
    for (const { kind, weight } of recording.findings.filter(weighsEnough)) {
      if (changes[kind] === undefined || (isOfShutter(kind) && recording.shutter?.matters === 'no')) continue;
      const entry = scores.get(kind) ?? { score: 0, of: [] };
      scores.set(kind, { score: entry.score + weights[weight], of: [...entry.of, recording] });
    }
  const [costliest] = [...scores].toSorted(([, a], [, b]) => b.score - a.score);
  if (costliest === undefined) return undefined;
  const [kind, { of }] = costliest;
  return `${changes[kind]!(of, settings)} (${findingTitle(kind)} in ${of.length})`;
}

function isOfShutter(kind: FindingKind): boolean {
  return kind.startsWith('shutter-');
}

type Change = (recordings: readonly ReportedRecording[], settings: ReportedSettings) => string;

const changes: Partial<Readonly<Record<FindingKind, Change>>> = {
  'shutter-short': shutterByHand,
  'shutter-short-by-blur': shutterByHand,
  'shutter-long': shutterByHand,
  'highlights-clipped': () => 'expose for the brightest part that matters',
  'channel-clipped': () => 'watch the histogram of each colour',
  'too-bright': () => 'let in less light',
  'too-dark': () => 'let in more light',
  'exposure-drifts': () => 'lock the exposure before you record',
  'exposure-pumps': () => 'lock the exposure before you record',
  flicker: () => 'under lamps, set a shutter that fits the mains',
  'iso-raised': () => 'hold base ISO: a weaker filter, or a longer shutter',
};

/** At the rate that most of them were shot at. */
function shutterByHand(
  recordings: readonly ReportedRecording[],
  { shutterAngleDegrees }: ReportedSettings,
): string {
  const rates = recordings.flatMap(({ facts }) => facts.framesPerSecond?.value ?? []);
  const [[rate] = [undefined]] = mostFrequentFirst(rates);
  if (rate === undefined) return 'set the shutter by hand';
  const seconds = shutterAngleDegrees / 360 / rate;
  return `set the shutter by hand: ${formatExposure(seconds)} at ${formatRate(rate)} fps`;
}
