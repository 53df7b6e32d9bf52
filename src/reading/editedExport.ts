import type { FactName, Note, Recording } from '../domain/recording.ts';
import type { DumpEntry } from './dumpEntries.ts';
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

// A camera names its firmware where a program names itself: a version and nothing else ("10.3.1", "V01.02.0300"), or one
// whose parts are padded with zeros behind whatever the camera is called ("X2D V01.02"). Programs have a name that is no
// version, and do not pad theirs.
const versionAlone = /^(?:firmware|fw|version|ver|v)?[ .:]*\d{1,4}(?:\.\d{1,6}){1,4}[a-z]?$/i;
const paddedVersion = /(?:^|[ _-])v?(?:0\d\.\d{2,4}|\d{1,2}\.0\d{1,3})(?:\.\d{2,6})*$/i;

/**
 * Whether the name of a program is only that of a camera's own software.
 * @example isFirmwareVersion('V01.02.0300') // true
 */
export function isFirmwareVersion(text: string): boolean {
  const name = text.trim();
  return name.length <= 80 && (versionAlone.test(name) || paddedVersion.test(name));
}
