import { Option, type Command } from 'commander';
import type { Sky, LightDirection } from '../../domain/daylight.ts';
import { displayText } from '../../domain/displayText.ts';
import { HalfturnError } from '../../domain/halfturnError.ts';
import { localTime, type Moment, type ZoneOffsetAt } from '../../domain/localTime.ts';
import type { PlanReport } from '../../domain/planReport.ts';
import { exposureSecondsForAngle } from '../../domain/shutter.ts';
import { lightOf, mostForLight } from '../../logbook/learning.ts';
import { planFilters, cardMoments, clockOf, sessionMoments } from '../../logbook/planning.ts';
import type { Logbook } from '../../logbook/store.ts';
import { nextSunCrossing } from '../../logbook/sunPosition.ts';
import { zoneOf } from '../../reading/timeZone.ts';
import { fieldCard, planText } from '../../report/logbook/planSheet.tsx';
import { exitStatus } from '../exitStatus.ts';
import {
  logbookOption,
  numberFlag,
  settingsOption,
  skyOption,
  numberOption,
  positionFlags,
  zoneOption,
  type CommandLine,
} from '../flags.ts';
import { endAtOnce, withLogbookIfThere } from '../logbookFile.ts';
import { writePage } from '../outputs.ts';
import { minutesOf, startOfSession } from '../planTime.ts';
import { loadSettings } from '../settings.ts';
import { outputStyle } from '../streams.ts';

interface PlanFlags {
  readonly at?: string;
  readonly for: string;
  readonly place?: string;
  readonly latitude?: string;
  readonly longitude?: string;
  readonly sky?: Sky;
  readonly fps?: string;
  readonly interval?: number;
  readonly exposure?: number;
  readonly direction?: LightDirection;
  readonly heading?: number;
  readonly looking?: keyof typeof pitches;
  readonly zone?: ZoneOffsetAt;
  readonly camera?: string;
  readonly fNumber?: number;
  readonly iso?: number;
  readonly card?: string;
  readonly json?: boolean;
  readonly settings?: string;
  readonly logbook?: string;
}

/** Where a camera usually looks, in degrees from the horizon; common practice, no source. */
const pitches = { ahead: -10, oblique: -40, down: -90 } as const;

const longSeconds = { least: 0.01, most: 3600 };

export function addCommand(program: Command, { end }: CommandLine): void {
  program
    .command('plan')
    .description('which filter to start with, the chance that it lands, and when to swap')
    .option(
      '--at <time>',
      'start: 18:00, "tomorrow 18:00" or 2026-06-01T10:30, by the clock at the place (default: now)',
    )
    .option('--for <length>', 'length of the session, such as 2h or 90min; a bare number is minutes', '1h')
    .option('--place <name>', 'a place of your logbook (default with --at: where you flew last)')
    .option('--latitude <degrees>', 'or where it is, + = north')
    .option('--longitude <degrees>', 'and + = east')
    .addOption(zoneOption())
    .addOption(skyOption())
    .option('--fps <rates>', 'frame rates, such as 24,30,60 (default: those you use)')
    .addOption(
      numberOption(
        '--interval <seconds>',
        'or an interval series, whose exposures last as your shutter angle says',
        longSeconds,
      ),
    )
    .addOption(numberOption('--exposure <seconds>', 'or long exposures of this length', longSeconds))
    .addOption(
      new Option('--direction <direction>', 'where the camera looks against the sun').choices([
        'away',
        'across',
        'toward',
      ]),
    )
    .addOption(
      numberOption('--heading <degrees>', 'or where it looks, clockwise from north', { least: 0, most: 360 }),
    )
    .addOption(
      new Option('--looking <where>', 'where the camera looks (default: as you mostly fly)').choices(
        Object.keys(pitches),
      ),
    )
    .option('--camera <name>', 'as it names itself (default: the one you use)')
    .addOption(
      numberOption('--f-number <number>', 'aperture (default: the one you use)', { least: 0.5, most: 64 }),
    )
    .addOption(
      numberOption('--iso <iso>', 'sensitivity (default: base ISO of your settings)', {
        least: 1,
        most: 1e6,
      }),
    )
    .option(
      '--card <file>',
      'write a card for the filter case: by time, or by height of the sun without a place',
    )
    .option('--json', 'print the plan for other programs and nothing else')
    .addOption(settingsOption())
    .addOption(logbookOption())
    .addHelpText(
      'after',
      '\nExample:\n  halfturn plan --at "tomorrow 18:00" --for 2h --place "Long Shoal" --sky clear --fps 24,60 --card card.html',
    )
    .action(async (flags: PlanFlags) => end(await runPlan(flags)));
}

async function runPlan(flags: PlanFlags): Promise<number> {
  endAtOnce();
  const settings = await loadSettings(flags.settings);
  const plan = await withLogbookIfThere(flags.logbook, (logbook) => planOf(flags, settings, logbook));
  if (flags.card !== undefined) await writePage(flags.card, fieldCard(plan));
  process.stdout.write(
    flags.json === true
      ? `${JSON.stringify(plan, undefined, 2)}\n`
      : planText(plan, outputStyle(process.stdout).columns),
  );
  if (flags.card !== undefined && flags.json !== true)
    process.stdout.write(`\nThe card is ${flags.card}: print it on one page.\n`);
  return exitStatus.finished;
}

function planOf(
  flags: PlanFlags,
  settings: Awaited<ReturnType<typeof loadSettings>>,
  logbook: Logbook | undefined,
): PlanReport {
  const { limits } = settings;
  const model = lightOf(logbook?.observations(mostForLight) ?? []);
  const habits = logbook?.habits();
  const { place, position, isAtLastPlace } = placeOf(flags, logbook);
  const { sky, direction, heading: headingDegrees, camera = habits?.camera, iso = limits.baseIso } = flags;
  const fNumber = flags.fNumber ?? habits?.fNumber ?? refuseAperture();
  const pitchDegrees = flags.looking === undefined ? habits?.pitchDegrees : pitches[flags.looking];
  const conditions = { sky, camera, place, direction, headingDegrees, pitchDegrees };
  const zoneOffsetAt = zoneOf({ ...settings, zone: flags.zone }, undefined);
  const start = startOf(flags.at, position, zoneOffsetAt);
  const minutes = minutesOf(flags.for);
  const planned = planFilters({
    model,
    kit: settings.kit,
    moments:
      position && start
        ? sessionMoments({ ...position, ...start, minutes }, conditions)
        : cardMoments(conditions),
    wanted: wantedExposures(flags, habits?.framesPerSecond ?? [], limits.shutterAngleDegrees),
    fNumber,
    iso,
    windowStops: limits.windowStops,
    shutterToleranceStops: limits.shutterToleranceStops,
  });
  return {
    format: 'halfturn-plan',
    formatVersion: 1,
    generatedAt: new Date().toISOString(),
    place,
    latitude: position?.latitude,
    longitude: position?.longitude,
    isAtLastPlace,
    sky,
    pitchDegrees,
    timeBasis: start?.basis,
    zone: zoneOffsetAt.zoneName,
    date: start && localDate(start),
    offsetMinutes: start?.offsetMinutes,
    sunsetClock: position && start && sunsetClock(position, start),
    camera,
    fNumber,
    iso,
    ...planned,
    observations: model.recordings,
    flights: model.flights.length,
  };
}

function refuseAperture(): never {
  throw new HalfturnError(
    'The aperture is not known: the logbook holds no clip that recorded one.',
    'Say it with --f-number, such as --f-number 2.8.',
  );
}

const usualRates = [24, 30, 60];
const mostRates = 4;

/** Video at the rates that were named, else at the usual ones unless long exposures are wanted; and those. */
function wantedExposures(
  { fps, interval, exposure }: PlanFlags,
  habits: readonly number[],
  angleDegrees: number,
) {
  const long = longExposures(interval, exposure, angleDegrees);
  const rates =
    fps?.split(',').map((rate) => numberFlag('--fps', rate, { least: 1, most: 1000 })) ??
    (long.length > 0 ? [] : habits.length > 0 ? habits.slice(0, mostRates) : usualRates);
  return [
    ...rates.map((framesPerSecond) => ({
      framesPerSecond,
      targetSeconds: exposureSecondsForAngle({ angleDegrees, framesPerSecond }),
    })),
    ...long,
  ];
}

function longExposures(
  intervalSeconds: number | undefined,
  exposureSeconds: number | undefined,
  angleDegrees: number,
) {
  if (exposureSeconds !== undefined) return [{ targetSeconds: exposureSeconds, intervalSeconds }];
  if (intervalSeconds === undefined) return [];
  return [{ intervalSeconds, targetSeconds: (intervalSeconds * angleDegrees) / 360 }];
}

type Position = NonNullable<ReturnType<typeof positionFlags>>;

interface PlannedPlace {
  readonly place?: string;
  readonly position?: Position;
  readonly isAtLastPlace?: true;
}

/**
 * The place by its name in the logbook, and where it lies. One whose position nobody knows cannot be planned for. A time
 * without a place is meant for where was flown last; without both there is a card by the height of the sun.
 */
function placeOf(flags: PlanFlags, logbook: Logbook | undefined): PlannedPlace {
  const places = logbook?.places() ?? [];
  const flown = places.find(({ place }) => place.toLowerCase() === flags.place?.toLowerCase());
  const position: Position | undefined = positionFlags(flags) ?? flown;
  if (position !== undefined) return { place: flown?.place ?? flags.place, position: coordinates(position) };
  if (flags.place === undefined) {
    const last = flags.at === undefined ? undefined : logbook?.lastPlace();
    return last === undefined ? {} : { place: last.place, position: coordinates(last), isAtLastPlace: true };
  }
  const names = places.map(({ place }) => displayText(place)).join(', ');
  throw new HalfturnError(
    `The logbook does not know where "${displayText(flags.place)}" is.`,
    `Add --latitude and --longitude${names === '' ? '' : `, or use a place that it knows: ${names}`}.`,
  );
}

function coordinates({ latitude, longitude }: Position): Position {
  return { latitude, longitude };
}

function startOf(
  at: string | undefined,
  position: Position | undefined,
  zoneOffsetAt: ZoneOffsetAt,
): Moment | undefined {
  if (position === undefined && at === undefined) return undefined;
  if (position === undefined)
    throw new HalfturnError(
      '--at needs a place: where the sun stands then depends on it, and no flight of the logbook knows its position.',
      'Add --latitude and --longitude.',
    );
  const clock = { longitude: position.longitude, zoneOffsetAt };
  if (at !== undefined) return startOfSession(at, Date.now(), clock);
  // Now needs no zone to be known as a moment, but one to be told as a time.
  const here = localTime({ recordedAt: new Date().toISOString(), ...clock }).replace('Z', '');
  return startOfSession(here.slice(0, 16), Date.now(), clock);
}

function localDate({ atMs, offsetMinutes }: Moment): string {
  return new Date(atMs + offsetMinutes * 60_000).toISOString().slice(0, 10);
}

/** By the clock of the session; undefined where the sun does not set within a day. */
function sunsetClock(position: Position, { atMs, offsetMinutes }: Moment): string | undefined {
  const setMs = nextSunCrossing({ ...position, atMs, direction: 'set' });
  return setMs === undefined ? undefined : clockOf(setMs, offsetMinutes);
}
