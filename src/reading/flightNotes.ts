import type { Sky } from '../domain/daylight.ts';
import type { FittedFilter } from '../domain/filterKit.ts';
import { localTime, momentOf, type RecordedMoment, type ZoneOffsetAt } from '../domain/localTime.ts';
import { nearestName } from '../domain/nearestName.ts';
import type { Facts, Problem } from '../domain/recording.ts';
import { compareText } from './fileNames.ts';
import { hasOffset } from './recordedTime.ts';

export interface FlightNotes {
  /** As it is shown to a person. */
  readonly file: string;
  /** The notes as they were written. */
  readonly text: string;
  readonly place?: string;
  /** Degrees, + = north. */
  readonly latitude?: number;
  /** Degrees, + = east. */
  readonly longitude?: number;
  readonly sky?: Sky;
  /** Of the clocks that recorded none. */
  readonly zone?: ZoneOffsetAt;
  readonly fitted: readonly FittedNote[];
  /** Patterns of files that were taken as a time-lapse. */
  readonly timeLapse?: readonly string[];
}

/** Which filter was fitted for which recordings, or when. */
interface FittedNote {
  readonly filter: FittedFilter;
  /** Patterns of file names, or of paths where they hold a "/". */
  readonly files?: readonly string[];
  /** Both ends belong to the span. A time of day is that of every day. */
  readonly from?: string;
  readonly to?: string;
}

/** What notes look at in a recording. */
interface NotedRecording {
  readonly path: string;
  readonly facts: Pick<Facts, 'recordedAt' | 'longitude'>;
}

/**
 * The filter that the notes say was fitted for a recording: that of the first entry that fits it.
 * @param zoneOffsetAt for a clock whose zone was not recorded
 */
export function fittedFor(
  recording: NotedRecording,
  notes: FlightNotes,
  zoneOffsetAt: ZoneOffsetAt,
): FittedFilter | undefined {
  const moment = recordedMoment(recording, notes, zoneOffsetAt);
  const fits = (note: FittedNote) =>
    (note.files?.some((pattern) => matcher(pattern)(recording.path)) ?? true) && wasThen(note, moment);
  return notes.fitted.find(fits)?.filter;
}

/** Whether the notes say that a still belongs to a time-lapse. */
export function isNotedTimeLapse({ path }: NotedRecording, notes: FlightNotes | undefined): boolean {
  return notes?.timeLapse?.some((pattern) => matcher(pattern)(path)) ?? false;
}

/** Matches what a pattern of the notes means: names, or paths where it holds a "/". */
export function matcher(pattern: string): (path: string) => boolean {
  const glob = globPattern(pattern);
  const ofPath = pattern.includes('/');
  return (path) => glob.test(ofPath ? path : path.slice(path.lastIndexOf('/') + 1));
}

/** "*" and "?" within a name, "**" across folders; letters in either case, as on a card. */
function globPattern(glob: string): RegExp {
  const parts = glob.match(/\*\*\/?|\*|\?|[^*?]+/g) ?? [];
  const pattern = parts.map((part) => {
    if (part.startsWith('**')) return '.*';
    if (part === '*') return '[^/]*';
    return part === '?' ? '[^/]' : part.replace(/[\\^$.|+()[\]{}]/g, '\\$&');
  });
  return new RegExp(`^${pattern.join('')}$`, 'i');
}

function recordedMoment(
  { facts: { recordedAt, longitude } }: NotedRecording,
  notes: FlightNotes,
  zoneOffsetAt: ZoneOffsetAt,
): RecordedMoment | undefined {
  if (recordedAt === undefined) return undefined;
  return { recordedAt: recordedAt.value, longitude: longitude?.value ?? notes.longitude, zoneOffsetAt };
}

/**
 * Whether a recording was made within the span of an entry, to the second; without an offset, by the clock at its place.
 * Of two times of day, an end before the start means the next day. Where the entry has no span, all were.
 */
function wasThen({ from, to }: FittedNote, recorded: RecordedMoment | undefined): boolean {
  if (from === undefined && to === undefined) return true;
  const moment = recorded && momentOf(recorded);
  if (moment === undefined) return false;
  const atMs = Math.floor(moment.atMs / 1000) * 1000;
  const clock = localTime(recorded!).slice(0, 19);
  const side = (end: string) => (hasOffset(end) ? atMs - Date.parse(end) : sideOfClock(clock, end));
  const after = from === undefined || side(from) >= 0;
  const before = to === undefined || side(to) <= 0;
  return isOvernight(from, to) ? after || before : after && before;
}

function isOvernight(from: string | undefined, to: string | undefined): boolean {
  if (from === undefined || to === undefined) return false;
  return isTimeOfDay(from) && isTimeOfDay(to) && withSeconds(from) > withSeconds(to);
}

/** Below 0 before the end, above 0 after it: the order of the texts is the order of the times. */
function sideOfClock(clock: string, end: string): number {
  return compareText(isTimeOfDay(end) ? clock.slice(11) : clock, withSeconds(end));
}

function isTimeOfDay(end: string): boolean {
  return end.indexOf(':') === 2;
}

function withSeconds(end: string): string {
  const plain = end.replace(' ', 'T').replace(/\.\d+$/, '');
  return /:\d\d:\d\d$/.test(plain) ? plain : `${plain}:00`;
}

/** What a dump holds, as far as notes can mean it. */
interface NotedDump {
  readonly recordings: readonly NotedRecording[];
  /** Of files that are no recordings to be told of: those that could not be read, copies, exports. */
  readonly otherPaths: readonly string[];
  readonly zoneOffsetAt: ZoneOffsetAt;
}

/** More of one entry are what a copy of the card lacks rather than mistyped, and are told together. */
const mostMistyped = 3;

/** What notes say of files or times that the dump does not hold: a filter that a mistyped name lost teaches nothing. */
export function unmatchedNotes(notes: FlightNotes, dump: NotedDump): readonly Problem[] {
  const paths = [...dump.recordings.map(({ path }) => path), ...dump.otherPaths];
  return notes.fitted
    .flatMap((note) => [...noSuchFiles(note, paths), ...emptySpan(note, dump, notes)])
    .map((unmatched) => ({ path: notes.file, ...unmatched, about: 'notes' }));
}

type Unmatched = Omit<Problem, 'path' | 'about'>;

function noSuchFiles({ files = [], filter }: FittedNote, paths: readonly string[]): readonly Unmatched[] {
  const unmatched = files.filter((pattern) => !paths.some(matcher(pattern)));
  if (unmatched.length <= mostMistyped)
    return unmatched.map((pattern) => {
      const nearest = nearestName(pattern, paths);
      const correct = nearest === undefined ? 'Correct' : `The nearest name is ${nearest}: correct`;
      return {
        message: `names "${pattern}" for ${filter.label}, and no file of this card is called that`,
        hint: `${correct} the notes, or copy what is missing from the card.`,
      };
    });
  const names = unmatched.slice(0, mostMistyped).join(', ');
  return [
    {
      message: `names ${unmatched.length} files for ${filter.label} that this card does not hold: ${names} and others`,
      hint: 'Copy what is missing from the card, or correct the notes.',
      detail: unmatched.join(', '),
    },
  ];
}

/** Where the files of the entry are not there either, that was said already. */
function emptySpan(note: FittedNote, dump: NotedDump, notes: FlightNotes): readonly Unmatched[] {
  const { files, from, to, filter } = note;
  if (from === undefined && to === undefined) return [];
  const patterns = files?.map(matcher);
  const named = dump.recordings.filter(({ path }) => patterns?.some((matches) => matches(path)) ?? true);
  const moments = named.map((recording) => recordedMoment(recording, notes, dump.zoneOffsetAt));
  if (named.length === 0 || moments.some((moment) => wasThen(note, moment))) return [];
  const ends = [from && `from ${shown(from)}`, to && `to ${shown(to)}`].filter((end) => end !== undefined);
  const statement = `says ${filter.label} ${ends.join(' ')}`;
  const times = firstAndLast(moments);
  if (times === undefined) {
    const message = `${statement}, and no recording that it can mean says when it was made`;
    return [{ message, hint: 'Name the files instead.' }];
  }
  const message = `${statement}, and no recording that was read is of that time`;
  const who = files === undefined ? 'They are' : 'Those that it names are';
  const hint = `${who} of ${times.first} to ${times.last} by the clock at the place: correct the times, or take them out.`;
  return [{ message, hint }];
}

/** As it was written: TOML's times come with thousandths. */
function shown(spanEnd: string): string {
  return spanEnd.replace(/\.0+(?=$|[Z+-])/, '');
}

/** By the clock at the place, to the second. */
function firstAndLast(moments: readonly (RecordedMoment | undefined)[]) {
  const times = moments
    .flatMap((recorded) => {
      const moment = recorded && momentOf(recorded);
      return moment === undefined ? [] : [{ atMs: moment.atMs, clock: localTime(recorded!).slice(0, 19) }];
    })
    .sort((a, b) => a.atMs - b.atMs);
  const [first, last] = [times[0], times.at(-1)];
  return first && last && { first: first.clock, last: last.clock };
}
