import { Option, type Command } from 'commander';
import type { CommandLine } from '../program.ts';
import { logbookOption, numberFlag, settingsOption, skyOption } from '../flags.ts';
import type { Sky } from '../../domain/daylight.ts';
import { HalfturnError } from '../../domain/halfturnError.ts';
import type { PlanReport } from '../../domain/plan.ts';
import { exposureSecondsForAngle } from '../../domain/shutter.ts';
import type { LightDirection } from '../../domain/sun.ts';
import { measuredKit } from '../../logbook/strengths.ts';
import { planFilters, type ExposureWanted } from '../../logbook/planning.ts';
import { learnLight, mostForLight } from '../../logbook/learning.ts';

import type { Habits } from '../../logbook/queries.ts';
import type { Logbook } from '../../logbook/store.ts';
import { fieldCard, planText } from '../../report/logbook/planReport.tsx';

import { exitStatus } from '../exitStatus.ts';
import { withLogbookIfThere } from '../logbookFile.ts';
import { writePage } from '../outputs.ts';
import {
  momentsOf,
  placeOf,
  sessionOf,
  sunsetClock,
  type PlannedSession,
  type SessionFlags,
} from '../planSession.ts';
import { loadSettings, type Settings } from '../settings.ts';
import { outputStyle } from '../streams.ts';

export function addCommand(program: Command, { end }: CommandLine): void {
  program
    .command('plan')
    .description('which filter to start with, the chance that it lands, and when to swap')
    .option('--at <time>', 'start, such as 2026-06-01T10:30, local time or with an offset (default: now)')
    .option('--for <minutes>', 'length of the session', '60')
    .option('--place <name>', 'a place of your logbook')
    .option('--latitude <degrees>', 'or where it is, + = north')
    .option('--longitude <degrees>', 'and + = east')
    .addOption(skyOption())
    .option('--fps <rates>', 'frame rates, such as 24,30,60 (default: those you use)')
    .option('--interval <seconds>', 'or an interval series, whose exposures last as your shutter angle says')
    .option('--exposure <seconds>', 'or long exposures of this length')
    .addOption(
      new Option('--direction <direction>', 'where the camera looks against the sun').choices([
        'away',
        'across',
        'toward',
      ]),
    )
    .option('--heading <degrees>', 'or where it looks, clockwise from north')
    .option('--camera <name>', 'as it names itself (default: the one you use)')
    .option('--f-number <number>', 'aperture (default: the one you use)')
    .option('--iso <iso>', 'sensitivity (default: base ISO of your settings)')
    .option(
      '--card <file>',
      'write a card for the filter case: by time, or by height of the sun without a place',
    )
    .option('--json', 'print the plan for other programs and nothing else')
    .addOption(settingsOption())
    .addOption(logbookOption())
    .addHelpText(
      'after',
      '\nExample:\n  halfturn plan --at 2026-06-01T18:00 --for 120 --place "Long Shoal" --sky clear --fps 24,60 --card card.html',
    )
    .action(async (flags: PlanFlags) => end(await runPlan(flags)));
}

async function runPlan(flags: PlanFlags): Promise<number> {
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

function planOf(flags: PlanFlags, settings: Settings, logbook: Logbook | undefined): PlanReport {
  const { limits } = settings;
  const { model, strengths } = learnLight(logbook?.observations(mostForLight) ?? []);
  const habits = logbook?.habits() ?? { framesPerSecond: [] };
  const { place, position } = placeOf(flags, logbook);
  const fNumber = apertureOf(flags.fNumber, habits);
  const iso = isoOf(flags.iso, limits.baseIso);
  const { sky, direction, camera = habits.camera } = flags;
  const conditions = { sky, camera, place, direction, headingDegrees: headingOf(flags.heading) };
  const session = sessionOf(flags, position);
  const planned = planFilters({
    model,
    strengths,
    kit: measuredKit(settings.kit, strengths),
    moments: momentsOf(session, conditions),
    wanted: wantedExposures(flags, habits, limits.shutterAngleDegrees),
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
    ...(session && { latitude: session.latitude, longitude: session.longitude }),
    sky,
    ...(session && timeOf(session)),
    ...(camera !== undefined && { camera }),
    fNumber,
    iso,
    ...planned,
    observations: model.observations,
    flights: model.flights,
  };
}

function timeOf(session: PlannedSession) {
  const { basis: timeBasis, offsetMinutes } = session.start;
  const setsAt = sunsetClock(session);
  return { timeBasis, offsetMinutes, sunsetClock: setsAt };
}

interface PlanFlags extends SessionFlags {
  readonly sky?: Sky;
  readonly fps?: string;
  readonly interval?: string;
  readonly exposure?: string;
  readonly direction?: LightDirection;
  readonly heading?: string;
  readonly camera?: string;
  readonly fNumber?: string;
  readonly iso?: string;
  readonly card?: string;
  readonly json?: boolean;
  readonly settings?: string;
  readonly logbook?: string;
}

const usualRates = [24, 30, 60];
const mostRates = 4;

/** The aperture that was named, else the one that the logbook's clips mostly had. */
export function apertureOf(flag: string | undefined, habits: Habits): number {
  if (flag !== undefined) return numberFlag('--f-number', flag, { least: 0.5, most: 64 });
  if (habits.fNumber !== undefined) return habits.fNumber;
  throw new HalfturnError(
    'The aperture is not known: the logbook holds no clip that recorded one.',
    'Say it with --f-number, such as --f-number 2.8.',
  );
}

export function isoOf(flag: string | undefined, baseIso: number): number {
  return flag === undefined ? baseIso : numberFlag('--iso', flag, { least: 1, most: 1e6 });
}

export function headingOf(flag: string | undefined): number | undefined {
  return flag === undefined ? undefined : numberFlag('--heading', flag, { least: 0, most: 360 });
}

/** Video at the rates that were named, else at the usual ones unless long exposures are wanted; and those. */
export function wantedExposures(
  { fps, interval, exposure }: PlanFlags,
  { framesPerSecond: habits }: Habits,
  angleDegrees: number,
): readonly ExposureWanted[] {
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
  interval: string | undefined,
  exposure: string | undefined,
  angleDegrees: number,
): readonly ExposureWanted[] {
  const seconds = (flag: string, text: string) => numberFlag(flag, text, { least: 0.01, most: 3600 });
  const intervalSeconds = interval === undefined ? undefined : seconds('--interval', interval);
  if (exposure !== undefined)
    return [
      {
        targetSeconds: seconds('--exposure', exposure),
        intervalSeconds,
      },
    ];
  if (intervalSeconds === undefined) return [];
  return [{ intervalSeconds, targetSeconds: (intervalSeconds * angleDegrees) / 360 }];
}
