import { ev100 } from '../domain/exposure.ts';
import type { KitFilter } from '../domain/kit.ts';
import type { FilterStrength } from '../domain/learned.ts';
import { strengthSpreadStops } from './kitStrengths.ts';
import { mixtureBetween, shifted, type Mixture } from './mixture.ts';

/** What is to be shot: video at a rate, or long exposures at an interval; `targetSeconds` is the exposure wanted. */
export interface ExposureWanted {
  readonly framesPerSecond?: number;
  readonly intervalSeconds?: number;
  readonly targetSeconds: number;
}

/** What decides whether a filter lands. */
export interface LandingLimits {
  readonly strengths: readonly FilterStrength[];
  readonly fNumber: number;
  readonly iso: number;
  /** Exposure offsets that count as right, [low, high], + = over. */
  readonly windowStops: readonly [number, number];
  /** A shutter this far off its target is still on. */
  readonly shutterToleranceStops: number;
}

/** The chance that shutter and exposure both land with a filter, [0, 1]. */
export function chanceToLand(
  filter: KitFilter,
  scene: Mixture,
  wanted: ExposureWanted,
  limits: LandingLimits,
): number {
  const [low, high] = landing(filter, wanted, limits);
  return mixtureBetween(lightThrough(filter, scene, limits), low, high);
}

/** The chance that a filter lands where another one does not, [0, 1]. */
export function chanceBeside(
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
