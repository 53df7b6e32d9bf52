import type { PlanReport } from '../../domain/plan.ts';
import { measuredKit } from '../../logbook/kitStrengths.ts';
import { learnLight, mostForLight } from '../../logbook/learning.ts';
import { planFilters } from '../../logbook/planning.ts';
import type { Logbook } from '../../logbook/store.ts';
import { fieldCard } from '../../report/logbook/fieldCard.tsx';
import { planText } from '../../report/logbook/planText.ts';
import { exitStatus } from '../exitStatus.ts';
import { withLogbookIfThere } from '../logbookFile.ts';
import { outputStyle } from '../outputStyle.ts';
import { apertureOf, headingOf, isoOf, wantedExposures, type PlanFlags } from '../planFlags.ts';
import { momentsOf, placeOf, sessionOf, sunsetClock, type PlannedSession } from '../planSession.ts';
import { loadSettings, type Settings } from '../settings.ts';
import { writePage } from '../writePage.ts';

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
