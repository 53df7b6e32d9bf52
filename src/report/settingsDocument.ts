import type { KitFilter } from '../domain/kit.ts';
import type { Limits } from '../domain/limits.ts';
import type { ReportedKitFilter, ReportedSettings } from '../domain/report.ts';

/** The limits and the kit that were in force, as the document states them. */
export function reportedSettings(inForce: {
  readonly limits: Limits;
  readonly kit: readonly KitFilter[];
  readonly measure: ReportedSettings['measure'];
  readonly kitAssumed: boolean;
}): ReportedSettings {
  const { limits, kit, measure, kitAssumed } = inForce;
  const { longestExposureSeconds, secondBaseIso } = limits;
  return {
    shutterAngleDegrees: limits.shutterAngleDegrees,
    shutterToleranceStops: limits.shutterToleranceStops,
    baseIso: limits.baseIso,
    windowStops: limits.windowStops,
    clippedFraction: limits.clippedFraction,
    measure,
    kit: kit.map(reportedKitFilter),
    longestExposureSeconds,
    secondBaseIso,
    kitAssumed,
  };
}

function reportedKitFilter({
  label,
  stops,
  rangeStops,
  polariser,
  graduated,
  measured,
}: KitFilter): ReportedKitFilter {
  return {
    label,
    stops,
    rangeStops,
    polariser,
    graduated,
    measured,
  };
}
