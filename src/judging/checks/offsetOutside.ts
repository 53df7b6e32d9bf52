import type { ExposureBasis, FindingWeight } from '../../domain/finding.ts';
import type { Check } from '../check.ts';
import { brightnessWeight } from '../composite.ts';

/**
 * Stops beyond the window from which an offset is said, flags the recording, and weighs high. A meter works in
 * thirds. The level of a picture also depends on the subject (snow, night): within 0.7 stop it says nothing.
 * Common practice, no source.
 */
const steps: Readonly<Record<ExposureBasis, { said: number; medium: number; high: number }>> = {
  metered: { said: 1e-6, medium: 1 / 3, high: 1 },
  picture: { said: 0.7, medium: 1, high: 2 },
};

/** too-bright and too-dark: the exposure offset lies outside the window. */
export const offsetOutside: Check = ({ recording, offset, limits }) => {
  if (!offset) return undefined;
  const [low, high] = limits.windowStops;
  const over = offset.offsetStops - high;
  const beyondStops = Math.max(over, low - offset.offsetStops);
  if (beyondStops <= steps[offset.basis].said) return undefined;
  const kind = over > 0 ? 'too-bright' : 'too-dark';
  // A bright subject is no fault: without a meter, only clipped highlights prove a picture far too bright.
  const atMostMedium = kind === 'too-bright' && offset.basis === 'picture';
  const weight = weightOf(beyondStops, offset.basis, atMostMedium);
  return { kind, weight: brightnessWeight(recording, weight), ...offset };
};

function weightOf(beyondStops: number, basis: ExposureBasis, atMostMedium: boolean): FindingWeight {
  if (beyondStops > steps[basis].high && !atMostMedium) return 'high';
  return beyondStops > steps[basis].medium ? 'medium' : 'low';
}
