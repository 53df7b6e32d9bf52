import { displayText } from '../../domain/displayText.ts';
import type { Sky } from '../../domain/daylight.ts';
import { HalfturnError } from '../../domain/halfturnError.ts';
import type { PlanReport } from '../../domain/plan.ts';
import { exposureSecondsForAngle } from '../../domain/shutter.ts';
import type { LightDirection } from '../../domain/sun.ts';
import type { KnownPlace } from '../../logbook/readPlaces.ts';
import { measuredKit } from '../../logbook/kitStrengths.ts';
import { learnLight, mostForLight } from '../../logbook/learning.ts';
import { momentOf, type Moment } from '../../domain/localTime.ts';
import { planFilters, type ExposureWanted } from '../../logbook/planning.ts';
import { cardMoments, clockOf, sessionMoments } from '../../logbook/session.ts';
import type { Logbook } from '../../logbook/store.ts';
import { nextSunCrossing, sunPosition } from '../../logbook/sunPosition.ts';
import { computerZoneOffsetAt } from '../../reading/computerZone.ts';
import { fieldCard } from '../../reporting/logbook/fieldCard.tsx';
import { planText } from '../../reporting/logbook/planText.ts';
import { exitStatus } from '../exitStatus.ts';
import { withLogbookIfThere } from '../logbookFile.ts';
import { numberFlag, positionFlags } from '../numberFlag.ts';
import { loadSettings, type Settings } from '../settings.ts';
import { writePage } from '../writePage.ts';
import { outputStyle } from '../outputStyle.ts';

export interface PlanFlags {
  readonly at?: string;
  readonly for: string;
  readonly place?: string;
  readonly latitude?: string;
  readonly longitude?: string;
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

/** A swap that comes ten minutes early or late costs little. */
const stepMinutes = 10;
const usualRates = [24, 30, 60];
const mostRates = 4;

export async function runPlan(flags: PlanFlags): Promise<number> {
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
  const { model, strengths } = learnLight(logbook?.observations(mostForLight) ?? []);
  const habits = logbook?.habits() ?? { framesPerSecond: [] };
  const known = knownPlace(flags.place, logbook);
  const position = positionFlags(flags) ?? known ?? refusePlace(flags.place, logbook);
  const place = known?.place ?? flags.place;
  const { limits } = settings;
  const fNumber = flags.fNumber === undefined ? habits.fNumber : aperture(flags.fNumber);
  if (fNumber === undefined)
    throw new HalfturnError(
      'The aperture is not known: the logbook holds no clip that recorded one.',
      'Say it with --f-number, such as --f-number 2.8.',
    );
  const iso =
    flags.iso === undefined ? limits.baseIso : numberFlag('--iso', flags.iso, { least: 1, most: 1e6 });
  const camera = flags.camera ?? habits.camera;
  const conditions = {
    sky: flags.sky,
    camera,
    place,
    direction: flags.direction,
    headingDegrees:
      flags.heading === undefined
        ? undefined
        : numberFlag('--heading', flags.heading, { least: 0, most: 360 }),
  };
  if (position === undefined && flags.at !== undefined)
    throw new HalfturnError(
      '--at needs a place: where the sun stands then depends on it.',
      'Add --place, or --latitude and --longitude.',
    );
  const minutes = numberFlag('--for', flags.for, { least: 0, most: 1440 });
  const start = position && startOf(flags.at, position.longitude);
  const moments =
    position === undefined || start === undefined
      ? cardMoments(conditions)
      : sessionMoments(
          {
            startMs: start.atMs,
            minutes,
            stepMinutes,
            offsetMinutes: start.offsetMinutes,
            latitude: position.latitude,
            longitude: position.longitude,
            sunPosition,
          },
          conditions,
        );
  const planned = planFilters({
    model,
    strengths,
    kit: measuredKit(settings.kit, strengths),
    moments,
    wanted: wantedExposures(flags, habits.framesPerSecond, limits.shutterAngleDegrees),
    fNumber,
    iso,
    windowStops: limits.windowStops,
    shutterToleranceStops: limits.shutterToleranceStops,
  });
  return {
    format: 'halfturn-plan',
    formatVersion: 1,
    generatedAt: new Date().toISOString(),
    ...(place !== undefined && { place }),
    ...(position && { latitude: position.latitude, longitude: position.longitude }),
    ...(flags.sky !== undefined && { sky: flags.sky }),
    ...(start !== undefined && { timeBasis: start.basis, offsetMinutes: start.offsetMinutes }),
    ...(position !== undefined && start !== undefined && sunset(position, start)),
    ...(camera !== undefined && { camera }),
    fNumber,
    iso,
    ...planned,
    observations: model.observations,
    flights: model.flights,
  };
}

function sunset(
  { latitude, longitude }: { readonly latitude: number; readonly longitude: number },
  { atMs, offsetMinutes }: Moment,
): { readonly sunsetClock?: string } {
  const setMs = nextSunCrossing({ atMs, latitude, longitude, direction: 'set' });
  return setMs === undefined ? {} : { sunsetClock: clockOf(setMs, offsetMinutes) };
}

function aperture(text: string): number {
  return numberFlag('--f-number', text, { least: 0.5, most: 64 });
}

function knownPlace(place: string | undefined, logbook: Logbook | undefined): KnownPlace | undefined {
  return logbook?.places().find((one) => one.place.toLowerCase() === place?.toLowerCase());
}

/** A place whose position nobody knows cannot be planned for; without any place there is a card by the sun's height. */
function refusePlace(place: string | undefined, logbook: Logbook | undefined): undefined {
  if (place === undefined) return undefined;
  const names = (logbook?.places() ?? []).map((one) => displayText(one.place)).join(', ');
  throw new HalfturnError(
    `The logbook does not know where "${displayText(place)}" is.`,
    `Add --latitude and --longitude${names === '' ? '' : `, or use a place that it knows: ${names}`}.`,
  );
}

function startOf(at: string | undefined, longitude: number): Moment {
  if (at === undefined) {
    const atMs = Date.now();
    return { atMs, offsetMinutes: computerZoneOffsetAt(atMs), basis: 'recorded' };
  }
  const start = momentOf({ recordedAt: at, longitude, zoneOffsetAt: computerZoneOffsetAt });
  if (start !== undefined) return start;
  throw new HalfturnError(
    `--at must be a date and time such as 2026-06-01T10:30, but is "${displayText(at)}".`,
    'An offset may follow: 2026-06-01T10:30+02:00.',
  );
}

function wantedExposures(
  { fps, interval, exposure }: PlanFlags,
  habits: readonly number[],
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
        ...(intervalSeconds !== undefined && { intervalSeconds }),
      },
    ];
  if (intervalSeconds === undefined) return [];
  return [{ intervalSeconds, targetSeconds: (intervalSeconds * angleDegrees) / 360 }];
}
