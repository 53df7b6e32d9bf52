import { lightDirection, type LightDirection } from '../domain/daylight.ts';
import { ev100 } from '../domain/exposure.ts';
import { noFilter, type KitFilter } from '../domain/filterKit.ts';
import type { SceneConditions, FilterStrength } from '../domain/learned.ts';
import type { PlannedExposure, PlanReport } from '../domain/planReport.ts';
import { mixtureQuantile, mixtureBetween, widened, type Mixture } from './distributions.ts';
import { predictScene, type SceneModel } from './sceneModel.ts';
import { strengthSpreadStops } from './strengths.ts';
import { sunPosition } from './sunPosition.ts';

/** A moment of the plan, or a row of a card. */
interface MomentConditions extends SceneConditions {
  readonly atMs?: number;
  readonly clock?: string;
  readonly azimuthDegrees?: number;
}

/** What is to be shot: video at a rate, or long exposures at an interval; `targetSeconds` is the exposure wanted. */
type ExposureWanted = Pick<PlannedExposure, 'framesPerSecond' | 'intervalSeconds' | 'targetSeconds'>;

interface PlanInput {
  readonly model: SceneModel;
  /** With measured strengths where those are supported. */
  readonly kit: readonly KitFilter[];
  readonly moments: readonly MomentConditions[];
  readonly wanted: readonly ExposureWanted[];
  readonly strengths: readonly FilterStrength[];
  readonly fNumber: number;
  readonly iso: number;
  /** Exposure offsets that count as right, [low, high], + = over. */
  readonly windowStops: readonly [number, number];
  /** A shutter this far off its target is still on. */
  readonly shutterToleranceStops: number;
}

/** A swap costs a landing: it must gain at least this; common practice, no source. */
const leastGain = 0.05;
/** A second filter that gains less is left at home. */
const leastSecondGain = 0.01;

/** Moments with their light, and for each exposure the filters with the chance that shutter and exposure land. */
export function planFilters(input: PlanInput): {
  readonly moments: PlanReport['moments'];
  readonly exposures: readonly PlannedExposure[];
} {
  const scenes = input.moments.map((moment) => predictScene(input.model, moment));
  return {
    moments: input.moments.map((moment, at) => plannedMoment(moment, scenes[at]!)),
    exposures: input.wanted.map((wanted) => plannedExposure(wanted, scenes, input)),
  };
}

function plannedMoment(moment: MomentConditions, scene: Mixture): PlanReport['moments'][number] {
  const { atMs, clock, elevationDegrees, azimuthDegrees, direction } = moment;
  return {
    atMs,
    clock,
    elevationDegrees,
    azimuthDegrees,
    direction,
    sceneEv100: {
      median: mixtureQuantile(scene, 0.5),
      low: mixtureQuantile(scene, 0.05),
      high: mixtureQuantile(scene, 0.95),
    },
  };
}

function plannedExposure(
  wanted: ExposureWanted,
  scenes: readonly Mixture[],
  input: PlanInput,
): PlannedExposure {
  const filters = [noFilter, ...input.kit.filter(({ graduated }) => graduated !== true)];
  const candidates = filters.map((filter) => candidateOf(filter, wanted, input));
  const probabilities = scenes.map((scene) => candidates.map((candidate) => probabilityOf(candidate, scene)));
  // Rows of a card by the height of the sun are no session: nothing is swapped between them.
  const isSession = input.moments[0]?.clock !== undefined;
  const picks = isSession ? steadyPicks(probabilities) : probabilities.map(bestOf);
  const choices = filters.map(({ label, stops, measured }, at) => ({
    label,
    stops,
    calibrated: measured !== undefined,
    probability: probabilities[0]?.[at] ?? 0,
  }));
  const pick = picks[0] ?? 0;
  const second = secondChoice(candidates, pick, scenes[0]!);
  return {
    ...wanted,
    choices: choices.toSorted((a, b) => b.probability - a.probability || a.stops - b.stops),
    pick: choices[pick]!,
    second: second === undefined ? undefined : choices[second]!,
    moments: picks.map((at, row) => ({ label: filters[at]!.label, probability: probabilities[row]![at]! })),
    swaps: swapsOf(picks, filters, input.moments),
  };
}

/** A filter by the scenes, in EV at ISO 100, with which shutter and exposure both land. */
interface Candidate {
  readonly low: number;
  readonly high: number;
  /** How little its strength is known. */
  readonly spreadStops: number;
}

/** It lands where some shutter within the tolerance puts the exposure inside the window at base ISO. */
function candidateOf(
  filter: KitFilter,
  { targetSeconds }: ExposureWanted,
  { strengths, fNumber, iso, windowStops, shutterToleranceStops }: PlanInput,
): Candidate {
  const settings = ev100({ fNumber, exposureSeconds: targetSeconds, iso })!;
  const [weakest, strongest] = filter.rangeStops ?? [filter.stops, filter.stops];
  return {
    low: settings + weakest + windowStops[0] - shutterToleranceStops,
    high: settings + strongest + windowStops[1] + shutterToleranceStops,
    spreadStops: strengthSpreadStops(filter, strengths),
  };
}

/** The probability that shutter and exposure both land, [0, 1]. */
function probabilityOf({ low, high, spreadStops }: Candidate, scene: Mixture): number {
  return mixtureBetween(widened(scene, spreadStops), low, high);
}

function bestOf(row: readonly number[]): number {
  return row.indexOf(Math.max(...row));
}

/** Keeps the filter that is on until another one gains enough. */
function steadyPicks(probabilities: readonly (readonly number[])[]): readonly number[] {
  const picks: number[] = [];
  for (const row of probabilities) {
    const best = bestOf(row);
    const on = picks.at(-1);
    picks.push(on !== undefined && row[best]! - row[on]! < leastGain ? on : best);
  }
  return picks;
}

function swapsOf(
  picks: readonly number[],
  filters: readonly KitFilter[],
  moments: readonly MomentConditions[],
): PlannedExposure['swaps'] {
  return picks.flatMap((pick, at) => {
    const before = picks[at - 1];
    const clock = moments[at]?.clock;
    return before === undefined || before === pick || clock === undefined
      ? []
      : [{ clock, from: filters[before]!.label, to: filters[pick]!.label }];
  });
}

/** What most often lands where the pick does not: the filter to keep in the pocket. */
function secondChoice(candidates: readonly Candidate[], pick: number, scene: Mixture): number | undefined {
  const picked = candidates[pick]!;
  const gains = candidates.map((candidate, at) => {
    if (at === pick) return 0;
    const [low, high] = [Math.max(candidate.low, picked.low), Math.min(candidate.high, picked.high)];
    return probabilityOf(candidate, scene) - probabilityOf({ ...candidate, low, high }, scene);
  });
  const best = bestOf(gains);
  return gains[best]! > leastSecondGain ? best : undefined;
}

/** What stays the same during a session. */
type SessionConditions = Pick<SceneConditions, 'sky' | 'camera' | 'place'> & {
  readonly direction?: LightDirection;
  /** Where the camera looks; the sun moves past it. Stands before `direction`. */
  readonly headingDegrees?: number;
};

/** A swap that comes ten minutes early or late costs little. */
const stepMinutes = 10;

interface Session {
  /** When it starts. */
  readonly atMs: number;
  readonly minutes: number;
  /** Of the clock of the session against UTC. */
  readonly offsetMinutes: number;
  readonly latitude: number;
  readonly longitude: number;
}

/** The moments of a session, from its start to its end, each with the sun as it stands then. */
export function sessionMoments(session: Session, conditions: SessionConditions): readonly MomentConditions[] {
  const { atMs: startMs, minutes, offsetMinutes, latitude, longitude } = session;
  const count = Math.floor(minutes / stepMinutes) + 1;
  return Array.from({ length: count }, (_, index): MomentConditions => {
    const atMs = startMs + index * stepMinutes * 60_000;
    const { elevationDegrees, azimuthDegrees } = sunPosition({ atMs, latitude, longitude });
    const { headingDegrees, direction, ...constant } = conditions;
    const faces =
      headingDegrees === undefined
        ? direction
        : lightDirection({ headingDegrees, sunAzimuthDegrees: azimuthDegrees });
    return {
      ...constant,
      atMs,
      clock: clockOf(atMs, offsetMinutes),
      elevationDegrees,
      azimuthDegrees,
      direction: elevationDegrees >= 0 ? faces : undefined,
    };
  });
}

/** Heights of the sun that a card shows where no time is planned; the light changes fastest where it is low. */
const cardDegrees = [-3, 0, 3, 6, 10, 15, 20, 30, 40, 50, 60, 70];

export function cardMoments({
  headingDegrees: _headingDegrees,
  ...conditions
}: SessionConditions): readonly MomentConditions[] {
  return cardDegrees.map((elevationDegrees) => ({ ...conditions, elevationDegrees }));
}

/**
 * Hours and minutes, counted from the end: a year beyond 9999 has two digits more.
 * @example clockOf(Date.UTC(2026, 5, 1, 8, 30), 120) // '10:30'
 */
export function clockOf(atMs: number, offsetMinutes: number): string {
  return new Date(atMs + offsetMinutes * 60_000).toISOString().slice(-13, -8);
}
