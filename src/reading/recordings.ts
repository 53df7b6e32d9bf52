import type { FactName, Note, Problem, Recording } from '../domain/recording.ts';
import type { OpenMedia } from '../programs/openMedia.ts';
import type { Programs } from './clip.ts';
import { clipContext, type ClipContext } from './telemetryPairs.ts';
import type { DumpEntry } from './dumpEntries.ts';
import { mergeReadings } from './mergeReadings.ts';
import { openProblem, withFile } from './openFile.ts';
import { mayHoldMore, type OwnReadings, type Reading, type Trouble } from './sighting.ts';
import { readSubRipSidecar } from './textTracks.ts';

interface ReadRecording {
  readonly recording?: Recording;
  readonly problem?: Problem;
  /** Set where the file is no recording but an export of an editing program. */
  readonly edited?: Note;
  /** Another time it may go otherwise, though nothing has changed. */
  readonly transient?: boolean;
}

/** Reads one clip or still with its sidecars. A clip that is only damaged in part gives both. */
export async function readRecording(entry: DumpEntry, programs: Programs): Promise<ReadRecording> {
  try {
    return await withFile(entry.file, async (media) => {
      const { readings, problem: trouble } = await readOwn(media, entry, programs);
      const problem = trouble && { path: entry.path, ...trouble };
      if (readings.length === 0) return { problem, transient: media.transient };
      const context = clipContext(readings);
      const sidecars: ReadSidecar[] = [];
      for (const sidecar of entry.sidecars) sidecars.push(await readSidecar(sidecar, context));
      const recording: Recording = {
        path: entry.path,
        kind: entry.kind,
        sizeBytes: media.sizeBytes,
        ...mergeReadings([...readings, ...sidecars.map(({ reading }) => reading)]),
        sidecars: entry.sidecars.map(({ path }) => path),
        fingerprint: entry.fingerprint,
        copies: entry.copies,
      };
      const edited = editedExport(entry, recording, readings);
      const transient = media.transient || sidecars.some((sidecar) => sidecar.transient);
      return { recording: edited === undefined ? recording : undefined, edited, problem, transient };
    });
  } catch (error) {
    return { problem: openProblem(entry.path, entry.file, error), transient: true };
  }
}

/** Each reader is loaded with the first file for it: an audit of one kind need not wait for what the other needs. */
async function readOwn(media: OpenMedia, { kind }: DumpEntry, programs: Programs): Promise<OwnReadings> {
  if (kind === 'clip') return (await import('./clip.ts')).readClip(media, programs);
  const { readStill } = await import('./still.ts');
  const reading = await readStill(media);
  return reading === undefined ? { readings: [], problem: unknownStill } : judgedStill(reading);
}

const unknownStill: Trouble = {
  message: 'is no still that can be read',
  hint: 'Stills are read as JPEG, PNG, TIFF, DNG, WebP, HEIF and AVIF; convert it or leave it out of the dump.',
};

// What a container says of itself even where it holds nothing.
const sayNothing = new Set(['codec', 'bitDepth', 'range', 'transfer', 'rotationDegrees']);

/** A still without a picture is damaged; it is a recording only where something else was read of it. */
function judgedStill(reading: Reading): OwnReadings {
  if (reading.sightings.some(({ fact }) => fact === 'width')) return { readings: [reading] };
  const problem = {
    message: 'holds no picture of which even the size can be read',
    hint: 'It is damaged. Copy it from the card again.',
  };
  const tells = reading.sightings.some(({ fact }) => !sayNothing.has(fact));
  return { readings: tells ? [reading] : [], problem };
}

interface ReadSidecar {
  readonly reading: Reading;
  readonly transient?: boolean;
}

const unreadTrack = 'a sidecar';

async function readSidecar(
  sidecar: DumpEntry['sidecars'][number],
  context: ClipContext,
): Promise<ReadSidecar> {
  const name = sidecar.path.slice(sidecar.path.lastIndexOf('/') + 1);
  try {
    return await withFile(sidecar.file, async (media) => {
      if (sidecar.type === 'xmp')
        return { reading: (await import('./still.ts')).readXmpSidecar(media, name) };
      const reading = await readSubRipSidecar(media, name, context);
      const holdsMore = mayHoldMore(reading) && media.sizeBytes > 0;
      return { reading: holdsMore ? { ...reading, unreadTrack } : reading };
    });
  } catch (error) {
    const { message } = openProblem(sidecar.path, sidecar.file, error);
    const refusal = { what: 'sidecar', raw: name, source: name, reason: message };
    return { reading: { sightings: [], refusals: [refusal], unreadTrack }, transient: true };
  }
}

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
function editedExport(
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
