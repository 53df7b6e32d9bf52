import type { FindingWeight } from '../domain/finding.ts';
import type { Recording } from '../domain/recording.ts';

/**
 * How much a finding about brightness weighs: in a picture that was put together from several exposures, no single one
 * made it bright or burnt, so it is a remark only.
 */
export function brightnessWeight(recording: Recording, weight: FindingWeight): FindingWeight {
  return recording.facts.composite === undefined ? weight : 'low';
}
