import { localTime, momentOf, type ZoneOffsetAt } from '../domain/localTime.ts';
import type { Problem } from '../domain/recording.ts';
import type { FittedNote, FlightNotes } from './flightNotes.ts';
import { nearestName } from './nearestName.ts';
import { meantBy, wasThen, type NamedRecording } from './notedFilter.ts';

/** What a dump holds, as far as notes can mean it. */
export interface NotedDump {
  readonly recordings: readonly NamedRecording[];
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
    .flatMap((note) => [...noSuchFiles(note, paths), ...emptySpan(note, notes, dump)])
    .map((unmatched) => ({ path: notes.file, ...unmatched, about: 'notes' }));
}

type Unmatched = Omit<Problem, 'path' | 'about'>;

function noSuchFiles({ files = [], filter }: FittedNote, paths: readonly string[]): readonly Unmatched[] {
  const unmatched = files.filter((pattern) => !paths.some(meantBy(pattern)));
  if (unmatched.length <= mostMistyped)
    return unmatched.map((pattern) => noSuchFile(pattern, filter.label, paths));
  const names = unmatched.slice(0, mostMistyped).join(', ');
  return [
    {
      message: `names ${unmatched.length} files for ${filter.label} that this card does not hold: ${names} and others`,
      hint: 'Copy what is missing from the card, or correct the notes.',
      detail: unmatched.join(', '),
    },
  ];
}

function noSuchFile(pattern: string, label: string, paths: readonly string[]): Unmatched {
  const nearest = nearestName(pattern, paths);
  return {
    message: `names "${pattern}" for ${label}, and no file of this card is called that`,
    hint: `${nearest === undefined ? 'Correct' : `The nearest name is ${nearest}: correct`} the notes, or copy what is missing from the card.`,
  };
}

/** Where the files of the entry are not there either, that was said already. */
function emptySpan(note: FittedNote, notes: FlightNotes, dump: NotedDump): readonly Unmatched[] {
  const { files, from, to, filter } = note;
  if (from === undefined && to === undefined) return [];
  const { recordings, zoneOffsetAt } = dump;
  const patterns = files?.map(meantBy);
  const meant = recordings.filter(({ path }) => patterns?.some((isMeant) => isMeant(path)) ?? true);
  if (meant.length === 0 || meant.some((recording) => wasThen(note, { recording, notes, zoneOffsetAt })))
    return [];
  const span = [from && `from ${shown(from)}`, to && `to ${shown(to)}`]
    .filter((end) => end !== undefined)
    .join(' ');
  const said = `says ${filter.label} ${span}`;
  const times = timesOf(meant, notes, zoneOffsetAt);
  if (times === undefined) {
    const message = `${said}, and no recording that it can mean says when it was made`;
    return [{ message, hint: 'Name the files instead.' }];
  }
  const message = `${said}, and no recording that was read is of that time`;
  const who = files === undefined ? 'They are' : 'Those that it names are';
  const hint = `${who} of ${times.first} to ${times.last} by the clock at the place: correct the times, or take them out.`;
  return [{ message, hint }];
}

/** As it was written: TOML's times come with thousandths. */
function shown(spanEnd: string): string {
  return spanEnd.replace(/\.0+(?=$|[Z+-])/, '');
}

/** The first and the last by the clock at the place, to the second. */
function timesOf(recordings: readonly NamedRecording[], notes: FlightNotes, zoneOffsetAt: ZoneOffsetAt) {
  const times = recordings
    .flatMap(({ facts: { recordedAt, longitude } }) => {
      if (recordedAt === undefined) return [];
      const where = longitude?.value ?? notes.longitude;
      const recorded = { recordedAt: recordedAt.value, longitude: where, zoneOffsetAt };
      const moment = momentOf(recorded);
      return moment === undefined ? [] : [{ atMs: moment.atMs, clock: localTime(recorded).slice(0, 19) }];
    })
    .sort((a, b) => a.atMs - b.atMs);
  const [first, last] = [times[0], times.at(-1)];
  return first && last && { first: first.clock, last: last.clock };
}
