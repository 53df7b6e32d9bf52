import { writeFile } from 'node:fs/promises';
import path from 'node:path';
import { Argument, type Command } from 'commander';
import { audit } from '../../audit/audit.ts';
import type { LoggedRecording } from '../../document/loggedFlight.ts';
import type { Sky } from '../../domain/daylight.ts';
import { displayText } from '../../domain/displayText.ts';
import { counted } from '../../domain/format.ts';
import { HalfturnError } from '../../domain/halfturnError.ts';
import { isClockGuessed, localTime, type ZoneOffsetAt } from '../../domain/localTime.ts';
import { flightsOf } from '../../logbook/flightsOf.ts';
import { lightOf, mostForLight } from '../../logbook/learning.ts';
import { expectedLight, type LightModel } from '../../logbook/lightModel.ts';
import { groupByFilter, withFilters } from '../../logbook/notesProposal.ts';
import { directionOf } from '../../logbook/sunPosition.ts';
import { notesBeside } from '../../reading/loadFlightNotes.ts';
import { zoneOf } from '../../reading/timeZone.ts';
import { notesText } from '../../report/logbook/notesText.ts';
import { dumpOrCard } from '../cards/dumpOrCard.ts';
import { exitStatus } from '../exitStatus.ts';
import {
  logbookOption,
  measureOption,
  positionFlags,
  settingsOption,
  skyOption,
  zoneOption,
  type CommandLine,
} from '../flags.ts';
import { withLogbookIfThere } from '../logbookFile.ts';
import { cacheFolderFor, refuseOutputInsideDump } from '../outputs.ts';
import { openLiveView } from '../liveView.ts';
import { loadSettings } from '../settings.ts';

interface NoteFlags {
  readonly out?: string;
  readonly print?: boolean;
  readonly place?: string;
  readonly latitude?: string;
  readonly longitude?: string;
  readonly sky?: Sky;
  readonly zone?: ZoneOffsetAt;
  readonly measure: 'off' | 'sampled' | 'every';
  readonly settings?: string;
  readonly logbook?: string;
}

/** Beside a card that is still mounted there is no place for them. */
function refuseNotesOnCard({ out, print }: NoteFlags): void {
  if (out !== undefined || print === true) return;
  throw new HalfturnError(
    'No folder was named, and notes have no place on or beside a mounted card',
    'Name the folder that the card was copied to, or add --print or --out <file>.',
  );
}

export function addCommand(program: Command, { end, cardPlaces }: CommandLine): void {
  program
    .command('note')
    .description('propose the notes of a flight from what was recorded, for you to confirm')
    .addArgument(new Argument('[dump]', 'folder with the copied card (default: a mounted card)'))
    .option('--out <file>', 'notes to write (default: <dump>.flight.toml beside the dump)')
    .option('--print', 'print them and write nothing')
    .option('--place <name>', 'what you call the place')
    .option('--latitude <degrees>', 'where it is, + = north; else as recorded')
    .option('--longitude <degrees>', 'where it is, + = east')
    .addOption(skyOption())
    .addOption(zoneOption())
    .addOption(measureOption())
    .addOption(settingsOption())
    .addOption(logbookOption())
    .addHelpText(
      'after',
      '\nTimes in the notes, as in from = 10:30:00, are those of the clock at the place. Another clock needs a date and its\noffset: from = 2026-05-14T10:30:00+02:00.\n\nExample:\n  halfturn note ~/cards/monday --place "Long Shoal" --sky haze',
    )
    .action(async (dump: string | undefined, flags: NoteFlags) => {
      if (dump === undefined) refuseNotesOnCard(flags);
      end(await runNote(await dumpOrCard(dump, 'note', cardPlaces), flags));
    });
}

async function runNote(dump: string, flags: NoteFlags): Promise<number> {
  // Beside the top of a disk there is no place for them: they would lie on it.
  const file = flags.out ?? notesBeside(dump);
  if (flags.print !== true) await refuseOutputInsideDump(file, dump);
  // Even reading a database writes beside it.
  if (flags.logbook !== undefined) await refuseOutputInsideDump(flags.logbook, dump, '--logbook');
  const settings = await loadSettings(flags.settings);
  const position = positionFlags(flags);
  const view = openLiveView(process.stderr);
  const document = await audit(dump, {
    ...settings,
    zone: flags.zone,
    measure: flags.measure,
    onStart: view.onStart,
    onRead: view.onRead,
    onProgress: view.onProgress,
    cacheFolder: await cacheFolderFor(dump, true),
  }).finally(view.clear);
  const zoneOffsetAt = zoneOf({ ...settings, zone: flags.zone }, undefined);
  const flights = flightsOf(document, { notes: position, zoneOffsetAt });
  const recordings = flights.flatMap((flight) => flight.recordings);
  const model = await withLogbookIfThere(flags.logbook, (logbook) =>
    lightOf(logbook?.observations(mostForLight) ?? []),
  );
  const noted = recordings.map((recording) => ({
    ...recording,
    expectedEv100: expectedEv100(recording, model, flags),
  }));
  const groups = withFilters(groupByFilter(noted), settings.kit);
  const place = position ?? flights.find(({ latitude }) => latitude !== undefined);
  const paths = recordings.map((recording) => recording.path);
  const text = notesText({
    place: flags.place,
    latitude: place?.latitude,
    longitude: place?.longitude,
    sky: flags.sky,
    zone: zoneOffsetAt.zoneName,
    isZoneGuessed: recordings.some(
      ({ recordedAt, longitude }) =>
        recordedAt !== undefined && isClockGuessed({ recordedAt, longitude, zoneOffsetAt }),
    ),
    groups: groups.map((group) => shownGroup(group, paths, zoneOffsetAt)),
    kit: settings.kit.map(({ label }) => label),
  });
  if (flags.print === true) process.stdout.write(text);
  else await writeNotes(file, text, groups.length, dump);
  return exitStatus.finished;
}

/** The light that the scene of a recording probably had; undefined where time or place is not known. */
function expectedEv100(
  recording: LoggedRecording,
  model: LightModel,
  { sky, place }: NoteFlags,
): number | undefined {
  const { sunElevationDegrees: elevationDegrees, camera, cameraPitchDegrees: pitchDegrees } = recording;
  if (elevationDegrees === undefined) return undefined;
  const direction = directionOf(recording);
  return expectedLight(model, { elevationDegrees, sky, place, camera, pitchDegrees, direction }).ev100;
}

function shownGroup(
  { members, reason, sensorEv100, filter }: ReturnType<typeof withFilters>[number],
  paths: readonly string[],
  zoneOffsetAt: ZoneOffsetAt,
) {
  const names = paths.map((file) => path.posix.basename(file));
  const times = members.flatMap(({ recordedAt, longitude }) =>
    recordedAt === undefined ? [] : localTime({ recordedAt, longitude, zoneOffsetAt }).slice(11, 16),
  );
  return {
    reason,
    files: members.map((member) => {
      const name = path.posix.basename(member.path);
      return names.indexOf(name) === names.lastIndexOf(name) ? name : member.path;
    }),
    from: times[0],
    to: times.at(-1),
    sensorEv100,
    filter,
  };
}

/** Notes that a pilot wrote are never overwritten. */
async function writeNotes(file: string, text: string, groups: number, dump: string): Promise<void> {
  try {
    await writeFile(file, text, { flag: 'wx' });
  } catch (error) {
    const { code, message } = error as NodeJS.ErrnoException;
    if (code === 'EEXIST')
      throw new HalfturnError(
        `"${displayText(file)}" is there already, and notes are never overwritten.`,
        'Use --print to see a proposal, or --out to write it elsewhere.',
      );
    throw new HalfturnError(
      `The notes could not be written to "${displayText(file)}": ${message}.`,
      'Name another file with --out, and give it to "halfturn audit" with --notes.',
    );
  }
  // An audit finds only what lies beside the dump by itself.
  const named = file === notesBeside(dump) ? '' : ` --notes ${displayText(file)}`;
  process.stdout.write(
    `${counted(groups, 'group')} of recordings proposed in ${displayText(file)}. Correct it, then run "halfturn audit ${displayText(dump)}${named}".\n`,
  );
}
