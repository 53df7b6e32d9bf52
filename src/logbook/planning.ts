import { lightDirection, type LightDirection } from '../domain/daylight.ts';
import { ev100 } from '../domain/exposure.ts';
import { noFilter, type KitFilter } from '../domain/filterKit.ts';
import type { SceneConditions } from '../domain/meteredLight.ts';
import type { PlannedChoice, PlannedExposure, PlanReport } from '../domain/planReport.ts';
import {
  probabilityBetween,
  expectedLight,
  rangeOf,
  type ExpectedLight,
  type LightModel,
} from './lightModel.ts';
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
  readonly model: LightModel;
  readonly kit: readonly KitFilter[];
  readonly moments: readonly MomentConditions[];
  readonly wanted: readonly ExposureWanted[];
  readonly fNumber: number;
  readonly iso: number;
  /** Exposure offsets that count as right, [low, high], + = over. */
  readonly windowStops: readonly [number, number];
  /** A shutter this far off its target is still on. */
  readonly shutterToleranceStops: number;
}

/** A change costs a landing: it must gain at least this; common practice, no source. */
const leastGain = 0.15;
/** A second filter that gains less is left at home. */
const leastSecondGain = 0.01;
/** Below this, naming a filter would hide that none helps. */
const hopeless = 0.1;

/** Moments with their light, and for each exposure the filters with the chance that shutter and exposure land. */
export function planFilters(input: PlanInput): Pick<PlanReport, 'moments' | 'exposures'> {
  const scenes = input.moments.map((moment) => expectedLight(input.model, moment));
  return {
    moments: input.moments.map((moment, at) => plannedMoment(moment, scenes[at]!)),
    exposures: input.wanted.map((wanted) => plannedExposure(wanted, scenes, input)),
  };
}

function plannedMoment(moment: MomentConditions, scene: ExpectedLight): PlanReport['moments'][number] {
  const { atMs, clock, elevationDegrees, azimuthDegrees, direction } = moment;
  const [low, high] = rangeOf(scene);
  const sceneEv100 = { median: scene.ev100, low, high };
  return { atMs, clock, elevationDegrees, azimuthDegrees, direction, sceneEv100 };
}

function plannedExposure(
  wanted: ExposureWanted,
  scenes: readonly ExpectedLight[],
  input: PlanInput,
): PlannedExposure {
  const filters = [noFilter, ...input.kit.filter(({ graduated }) => graduated !== true)];
  const settings = ev100({ fNumber: input.fNumber, exposureSeconds: wanted.targetSeconds, iso: input.iso })!;
  const candidates = filters.map((filter) => candidateOf(filter, settings, input));
  const probabilities = scenes.map((scene) => candidates.map((candidate) => probabilityOf(candidate, scene)));
  // Rows of a card by the height of the sun are no session: nothing is swapped between them.
  const isSession = input.moments[0]?.clock !== undefined;
  const picks = isSession ? steadyPicks(probabilities) : probabilities.map(bestOf);
  const [pick, scene] = [picks[0] ?? 0, scenes[0]!];
  const wanted100 = settings + middleOf(input.windowStops);
  const neededOf = ({ ev100: light }: ExpectedLight) => light - wanted100;
  const choices = filters.map((filter, at): PlannedChoice => ({
    label: filter.label,
    stops: settingOf(filter, neededOf(scene)),
    isSetting: filter.rangeStops === undefined ? undefined : true,
    probability: probabilities[0]?.[at] ?? 0,
  }));
  const second = secondChoice(candidates, pick, scene);
  return {
    ...wanted,
    choices: choices.toSorted((a, b) => b.probability - a.probability || a.stops - b.stops),
    pick: choices[pick]!,
    second: second === undefined ? undefined : choices[second.at]!,
    eitherProbability: choices[pick]!.probability + (second?.gain ?? 0),
    ...whereHopeless(choices[pick]!, lampsOr(scene, input.moments[0]!) - wanted100, input),
    moments: picks.map((at, row) => ({ label: filters[at]!.label, probability: probabilities[row]![at]! })),
    swaps: swapsOf(picks, filters, input.moments, scenes.map(neededOf)),
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
  { stops, rangeStops, spreadStops = 0 }: KitFilter,
  settings: number,
  { windowStops, shutterToleranceStops }: PlanInput,
): Candidate {
  const [weakest, strongest] = rangeStops ?? [stops, stops];
  return {
    low: settings + weakest + windowStops[0] - shutterToleranceStops,
    high: settings + strongest + windowStops[1] + shutterToleranceStops,
    spreadStops: Math.hypot(labelSpreadStops(stops), spreadStops),
  };
}

/**
 * One standard deviation by which a filter misses its label: an eighth of a stop or so, and of strong ones a third of the
 * stop in ten that is reported; common practice, no source. No filter misses nothing.
 */
function labelSpreadStops(stops: number): number {
  return stops === 0 ? 0 : Math.hypot(0.15, 0.03 * stops);
}

/** The chance that shutter and exposure both land, [0, 1]. */
function probabilityOf(
  { low, high, spreadStops }: Candidate,
  { ev100: light, scaleStops }: ExpectedLight,
): number {
  return probabilityBetween({ ev100: light, scaleStops: Math.hypot(scaleStops, spreadStops) }, low, high);
}

function middleOf([low, high]: readonly [number, number]): number {
  return (low + high) / 2;
}

/** To half a stop: finer than a hand sets a variable filter. */
function settingOf({ stops, rangeStops }: KitFilter, neededStops: number): number {
  if (rangeStops === undefined) return stops;
  const [weakest, strongest] = rangeStops;
  return Math.min(strongest, Math.max(weakest, Math.round(2 * neededStops) / 2));
}

/** Floodlit buildings, EV 3 to 5 in the exposure guides ANSI PH2.7 (1973, 1986): what is filmed where the sky gives no light. */
const lampsEv100 = 4;

/** The end of civil twilight: from here on lamps give more than the sky. */
const nightDegrees = -6;

function lampsOr({ ev100: light }: ExpectedLight, { elevationDegrees }: MomentConditions): number {
  return elevationDegrees < nightDegrees ? lampsEv100 : light;
}

/** What would help where nothing in the kit does. */
function whereHopeless(
  { probability }: PlannedChoice,
  neededStops: number,
  { iso }: PlanInput,
): Pick<PlannedExposure, 'darkIso' | 'missingStops'> {
  if (probability >= hopeless) return {};
  return neededStops < 0
    ? { darkIso: iso * 2 ** Math.ceil(-neededStops) }
    : { missingStops: Math.round(neededStops) };
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

/** A variable filter is turned where the light moved by this since it was set; common practice, no source. */
const leastTurnStops = 1;

function swapsOf(
  picks: readonly number[],
  filters: readonly KitFilter[],
  moments: readonly MomentConditions[],
  neededStops: readonly number[],
): PlannedExposure['swaps'] {
  let set = settingOf(filters[picks[0]!]!, neededStops[0]!);
  // Nobody lands to swap at the end.
  return picks.slice(1, -1).flatMap((pick, at) => {
    const [before, to] = [filters[picks[at]!]!, filters[pick]!];
    const clock = moments[at + 1]?.clock;
    const setting = settingOf(to, neededStops[at + 1]!);
    if (clock === undefined || (to === before && Math.abs(setting - set) < leastTurnStops)) return [];
    set = setting;
    return [
      {
        clock,
        from: before.label,
        to: to.label,
        settingStops: to.rangeStops === undefined ? undefined : setting,
      },
    ];
  });
}

/** What most often lands where the pick does not: the filter to keep in the pocket, with what it adds. */
function secondChoice(candidates: readonly Candidate[], pick: number, scene: ExpectedLight) {
  const picked = candidates[pick]!;
  const gains = candidates.map((candidate, at) => {
    if (at === pick) return 0;
    const [low, high] = [Math.max(candidate.low, picked.low), Math.min(candidate.high, picked.high)];
    return probabilityOf(candidate, scene) - probabilityOf({ ...candidate, low, high }, scene);
  });
  const at = bestOf(gains);
  return gains[at]! > leastSecondGain ? { at, gain: gains[at]! } : undefined;
}

/** What stays the same during a session. */
type SessionConditions = Pick<SceneConditions, 'sky' | 'camera' | 'place' | 'pitchDegrees'> & {
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
