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

// Each looks at every name of the dump.
const mostNearest = 20;

/** What notes say of files or times that the dump does not hold: a filter that a mistyped name lost teaches nothing. */
export function unmatchedNotes(notes: FlightNotes, dump: NotedDump): readonly Problem[] {
  const paths = [...dump.recordings.map(({ path }) => path), ...dump.otherPaths];
  const unmatched = notes.fitted.flatMap((note) =>
    patternsWithoutFile(note, paths).map((pattern) => ({ note, pattern })),
  );
  return [
    ...unmatched.map(({ note, pattern }, at) =>
      problemOf(notes, noSuchFile(note, pattern, at < mostNearest ? paths : [])),
    ),
    ...notes.fitted.flatMap((note) => {
      const problem = emptySpan(note, notes, dump);
      return problem === undefined ? [] : [problemOf(notes, problem)];
    }),
  ];
}

type Unmatched = Pick<Problem, 'message' | 'hint'>;

function problemOf({ file }: FlightNotes, unmatched: Unmatched): Problem {
  return { path: file, ...unmatched, about: 'notes' };
}

function patternsWithoutFile({ files = [] }: FittedNote, paths: readonly string[]): readonly string[] {
  return files.filter((pattern) => !paths.some(meantBy(pattern)));
}

function noSuchFile({ filter }: FittedNote, pattern: string, paths: readonly string[]): Unmatched {
  const nearest = nearestName(pattern, paths);
  return {
    message: `names "${pattern}" for ${filter.label}, and no file of this card is called that`,
    hint:
      nearest === undefined
        ? 'Correct the name, or take it out.'
        : `The nearest name is ${nearest}: correct the one in the notes, or take it out.`,
  };
}

/** Where the files of the entry are not there either, that was said already. */
function emptySpan(note: FittedNote, notes: FlightNotes, dump: NotedDump): Unmatched | undefined {
  const { files, from, to, filter } = note;
  if (from === undefined && to === undefined) return undefined;
  const { recordings, zoneOffsetAt } = dump;
  const patterns = files?.map(meantBy);
  const meant = recordings.filter(({ path }) => patterns?.some((isMeant) => isMeant(path)) ?? true);
  if (meant.length === 0 || meant.some((recording) => wasThen(note, { recording, notes, zoneOffsetAt })))
    return undefined;
  const span = [from && `from ${shown(from)}`, to && `to ${shown(to)}`]
    .filter((end) => end !== undefined)
    .join(' ');
  const said = `says ${filter.label} ${span}`;
  const times = timesOf(meant, notes, zoneOffsetAt);
  if (times === undefined)
    return {
      message: `${said}, and no recording that it can mean says when it was made`,
      hint: 'Name the files instead.',
    };
  return {
    message: `${said}, and no recording that was read is of that time`,
    hint: `${files === undefined ? 'They are' : 'Those that it names are'} of ${times.first} to ${times.last} by the clock at the place: correct the times, or take them out.`,
  };
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
