import { ev100 } from '../domain/exposure.ts';
import type { KitFilter } from '../domain/kit.ts';
import type { SceneConditions, FilterStrength } from '../domain/learned.ts';
import type { PlannedChoice, PlannedExposure, PlannedMoment } from '../domain/planReport.ts';
import { mixtureQuantile, mixtureBetween, shifted, type Mixture } from './distributions.ts';
import { predictScene, type SceneModel } from './sceneModel.ts';
import { strengthSpreadStops } from './strengths.ts';

/** A moment of the plan, or a row of a card. */
export interface MomentConditions extends SceneConditions {
  readonly atMs?: number;
  readonly clock?: string;
  readonly azimuthDegrees?: number;
}

export interface PlanInput extends LandingLimits {
  readonly model: SceneModel;
  /** With measured strengths where those are supported. */
  readonly kit: readonly KitFilter[];
  readonly moments: readonly MomentConditions[];
  readonly wanted: readonly ExposureWanted[];
}

const noFilter: KitFilter = { label: 'none', stops: 0 };

/** A swap costs a landing: it must gain at least this; common practice, no source. */
const leastGain = 0.05;
/** A second filter that gains less is left at home. */
const leastSecondGain = 0.01;

/** Moments with their light, and for each exposure the filters with the chance that shutter and exposure land. */
export function planFilters(input: PlanInput): {
  readonly moments: readonly PlannedMoment[];
  readonly exposures: readonly PlannedExposure[];
} {
  const scenes = input.moments.map((moment) => predictScene(input.model, moment));
  return {
    moments: input.moments.map((moment, at) => plannedMoment(moment, scenes[at]!)),
    exposures: input.wanted.map((wanted) => plannedExposure(wanted, scenes, input)),
  };
}

function plannedMoment(moment: MomentConditions, scene: Mixture): PlannedMoment {
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
  const chances = scenes.map((scene) => filters.map((filter) => chanceToLand(filter, scene, wanted, input)));
  // Rows of a card by the height of the sun are no session: nothing is swapped between them.
  const isSession = input.moments[0]?.clock !== undefined;
  const picks = isSession ? steadyPicks(chances) : chances.map(bestOf);
  const choices = filters.map((filter, at) => choiceOf(filter, chances[0]?.[at] ?? 0));
  const pickAt = picks[0] ?? 0;
  const secondAt = secondChoice(filters, pickAt, scenes[0]!, wanted, input);
  return {
    ...wanted,
    choices: choices.toSorted((a, b) => b.probability - a.probability || a.stops - b.stops),
    pick: choices[pickAt]!,
    ...(secondAt !== undefined && { second: choices[secondAt]! }),
    moments: picks.map((pick, at) => ({ label: filters[pick]!.label, probability: chances[at]![pick]! })),
    swaps: swapsOf(picks, filters, input.moments),
  };
}

function choiceOf({ label, stops, measured }: KitFilter, probability: number): PlannedChoice {
  return { label, stops, calibrated: measured !== undefined, probability };
}

function bestOf(row: readonly number[]): number {
  return row.indexOf(Math.max(...row));
}

/** Keeps the filter that is on until another one gains enough. */
function steadyPicks(chances: readonly (readonly number[])[]): readonly number[] {
  const picks: number[] = [];
  for (const row of chances) {
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
function secondChoice(
  filters: readonly KitFilter[],
  pick: number,
  scene: Mixture,
  wanted: ExposureWanted,
  input: PlanInput,
): number | undefined {
  const gains = filters.map((filter, at) =>
    at === pick ? 0 : chanceBeside(filters[pick]!, filter, scene, wanted, input),
  );
  const best = bestOf(gains);
  return gains[best]! > leastSecondGain ? best : undefined;
}

/** What is to be shot: video at a rate, or long exposures at an interval; `targetSeconds` is the exposure wanted. */
export interface ExposureWanted {
  readonly framesPerSecond?: number;
  readonly intervalSeconds?: number;
  readonly targetSeconds: number;
}

/** What decides whether a filter lands. */
interface LandingLimits {
  readonly strengths: readonly FilterStrength[];
  readonly fNumber: number;
  readonly iso: number;
  /** Exposure offsets that count as right, [low, high], + = over. */
  readonly windowStops: readonly [number, number];
  /** A shutter this far off its target is still on. */
  readonly shutterToleranceStops: number;
}

/** The chance that shutter and exposure both land with a filter, [0, 1]. */
function chanceToLand(
  filter: KitFilter,
  scene: Mixture,
  wanted: ExposureWanted,
  limits: LandingLimits,
): number {
  const [low, high] = landing(filter, wanted, limits);
  return mixtureBetween(lightThrough(filter, scene, limits), low, high);
}

/** The chance that a filter lands where another one does not, [0, 1]. */
function chanceBeside(
  other: KitFilter,
  filter: KitFilter,
  scene: Mixture,
  wanted: ExposureWanted,
  limits: LandingLimits,
): number {
  const taken = landing(other, wanted, limits);
  const [low, high] = landing(filter, wanted, limits);
  const light = lightThrough(filter, scene, limits);
  const both = mixtureBetween(light, Math.max(low, taken[0]), Math.min(high, taken[1]));
  return mixtureBetween(light, low, high) - both;
}

/** The light of a scene, as little known as the strength of the filter. */
function lightThrough(filter: KitFilter, scene: Mixture, { strengths }: LandingLimits): Mixture {
  return shifted(scene, 0, strengthSpreadStops(filter, strengths));
}

/**
 * The scenes, in EV at ISO 100, with which a filter lands: some shutter within the tolerance puts the exposure inside
 * the window at base ISO.
 */
function landing(
  { stops, rangeStops }: KitFilter,
  { targetSeconds }: ExposureWanted,
  { fNumber, iso, windowStops, shutterToleranceStops }: LandingLimits,
): readonly [number, number] {
  const settings = ev100({ fNumber, exposureSeconds: targetSeconds, iso })!;
  const [weakest, strongest] = rangeStops ?? [stops, stops];
  return [
    settings + weakest + windowStops[0] - shutterToleranceStops,
    settings + strongest + windowStops[1] + shutterToleranceStops,
  ];
}
