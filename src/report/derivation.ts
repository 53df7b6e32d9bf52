import type { ReportedSettings } from '../domain/report.ts';
import { formatExposure, formatShutter } from '../domain/format.ts';

/** How one number came about: what it is called, and the sum with its result. */
export interface Derivation {
  readonly label: string;
  readonly sum: string;
}

export type DerivationSettings = Pick<ReportedSettings, 'shutterAngleDegrees' | 'windowStops'>;

/**
 * An exposure as a factor in a sum.
 * @example exposureFactor(1 / 50) // '(1/50)'
 */
export function exposureFactor(exposureSeconds: number): string {
  return exposureSeconds < 0.25 ? `(${formatShutter(exposureSeconds)})` : formatExposure(exposureSeconds);
}
