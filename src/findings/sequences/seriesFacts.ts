import type { CameraMotion } from '../../domain/finding.ts';
import type { Limits } from '../../domain/limits.ts';
import type { Recording } from '../../domain/recording.ts';
import type { StillSequence } from '../../domain/sequence.ts';
import { median } from '../../domain/statistics.ts';

export type IntervalSeries = Extract<StillSequence, { readonly kind: 'interval' }>;

/**
 * The exposure that a series wants: the share of its interval that the target angle is of a full turn, half of it at
 * 180 degrees (the half-interval rule of time-lapse, a rule of thumb that web pages on it name).
 */
export function seriesTargetSeconds(intervalSeconds: number, { shutterAngleDegrees }: Limits): number {
  return (intervalSeconds * shutterAngleDegrees) / 360;
}

/** The usual exposure of a series: its median. */
export function seriesExposureSeconds({ members }: IntervalSeries): number | undefined {
  return median(members.flatMap(({ facts }) => facts.exposureSeconds?.value ?? []));
}

/** Metres between two frames below which an aircraft hovers: what positions and wind make of a fixed spot. */
const hoverMetres = 1;

const metresPerDegree = 111_320;

/** Whether the camera travelled, by the places that were recorded. */
export function cameraMotion({ members }: IntervalSeries): CameraMotion {
  const ways = members.slice(1).flatMap((member, index) => wayMetres(members[index]!, member) ?? []);
  const usual = median(ways);
  if (usual === undefined || ways.length * 2 < members.length) return 'unknown';
  return usual > hoverMetres ? 'moving' : 'hovering';
}

function wayMetres({ facts: a }: Recording, { facts: b }: Recording): number | undefined {
  if (!a.latitude || !b.latitude || !a.longitude || !b.longitude) return undefined;
  const north = b.latitude.value - a.latitude.value;
  const east = (b.longitude.value - a.longitude.value) * Math.cos((a.latitude.value * Math.PI) / 180);
  const up = (b.altitudeMetres?.value ?? 0) - (a.altitudeMetres?.value ?? 0);
  return Math.hypot(north * metresPerDegree, east * metresPerDegree, up);
}
