import type { FactName, Note, Recording } from '../domain/recording.ts';
import type { DumpEntry } from './dumpEntry.ts';
import type { Reading } from './sighting.ts';

// Programs that edit cannot be known by name. What they write into a card's folders shows in three things at once: it
// lies beside the camera's own files and not under the camera's kind of name, it says that a program wrote it, and it
// has lost everything that a camera records. A file that lacks one of them is audited: to leave out a recording is
// worse than to audit an export.
const ofCameras: readonly FactName[] = [
  'camera',
  'exposureSeconds',
  'fNumber',
  'iso',
  'latitude',
  'startTimecode',
];

/** The note for a file that is an export of an editing program; undefined for a recording. */
export function editedExport(
  entry: DumpEntry,
  { facts, track, sidecars }: Recording,
  own: readonly Reading[],
): Note | undefined {
  const writtenBy = own.map((reading) => reading.writtenBy).filter((text) => text !== undefined);
  if (entry.isBesideCard !== true || writtenBy.length === 0) return undefined;
  if (track !== undefined || sidecars.length > 0) return undefined;
  if (ofCameras.some((name) => facts[name] !== undefined)) return undefined;
  const message = `was written by another program than the camera's (${writtenBy.join(', ')}) and left aside`;
  return { path: entry.path, message };
}
