import { halfSettingStepStops, stopsFromRatio } from '../../domain/stops.ts';
import type { Check } from '../check.ts';

/** Stops above base from which noise shows in most cameras; common practice, no source. */
const mediumStops = 2;

/** iso-raised: the camera worked above its base sensitivity, which a weaker filter might have spared. */
export const isoRaised: Check = ({ recording, limits }) => {
  const iso = recording.facts.iso?.value;
  if (iso === undefined) return undefined;
  const overStops = stopsFromRatio(iso / limits.baseIso);
  if (overStops <= halfSettingStepStops) return undefined;
  const weight = overStops > mediumStops ? 'medium' : 'low';
  return { kind: 'iso-raised', weight, iso, baseIso: limits.baseIso, overStops };
};
