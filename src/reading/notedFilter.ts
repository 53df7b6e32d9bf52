import type { FittedFilter } from '../domain/kit.ts';
import type { ZoneOffsetAt } from '../domain/localTime.ts';
import type { Facts } from '../domain/recording.ts';
import type { FittedNote, FlightNotes } from './flightNotes.ts';
import { wasBetween } from './timeSpan.ts';

/** What notes look at in a recording. */
export interface NamedRecording {
  readonly path: string;
  readonly facts: Pick<Facts, 'recordedAt' | 'longitude'>;
}

/**
 * The filter that the notes say was fitted for a recording: that of the first entry that fits it.
 *
 * @param zoneOffsetAt of this computer, for a place whose zone is not known otherwise
 */
export function fittedFor(
  recording: NamedRecording,
  notes: FlightNotes,
  zoneOffsetAt: ZoneOffsetAt,
): FittedFilter | undefined {
  return notes.fitted.find(
    (note) => namesIt(note, recording.path) && wasThen(note, { recording, notes, zoneOffsetAt }),
  )?.filter;
}

function namesIt({ files }: FittedNote, path: string): boolean {
  return files === undefined || files.some((pattern) => meantBy(pattern)(path));
}

/** Tells which files a pattern of the notes means: by their names, or by their paths where it holds a "/". */
export function meantBy(pattern: string): (path: string) => boolean {
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

interface Noted {
  readonly recording: NamedRecording;
  readonly notes: FlightNotes;
  readonly zoneOffsetAt: ZoneOffsetAt;
}

/** Whether a recording was made within the span of an entry; where it has none, all were. */
export function wasThen({ from, to }: FittedNote, { recording, notes, zoneOffsetAt }: Noted): boolean {
  if (from === undefined && to === undefined) return true;
  const { recordedAt, longitude } = recording.facts;
  if (recordedAt === undefined) return false;
  const where = longitude?.value ?? notes.longitude;
  return wasBetween({ recordedAt: recordedAt.value, longitude: where, zoneOffsetAt }, { from, to });
}
