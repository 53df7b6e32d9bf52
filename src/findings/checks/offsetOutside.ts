import type { ExposureBasis, FindingWeight } from '../../domain/finding.ts';
import type { Recording } from '../../domain/recording.ts';
import { halfSettingStepStops } from '../../domain/stops.ts';
import {
  assumedTransferStops,
  isTransferAssumed,
  whiteMayBeHigherStops,
} from '../../domain/transferUncertainty.ts';

import type { Check } from '../check.ts';
import { brightnessWeight } from '../composite.ts';

/** Keeps an offset of exactly a limit inside it: 0 - 0.7 - 1/3 is no round number. */
const rounding = 1e-9;

interface Steps {
  readonly said: number;
  readonly medium: number;
  readonly high: number;
}

/**
 * Stops beyond the window from which an offset is said, flags the recording, and weighs high. Below half of a step of
 * the settings no pilot could have set it better; beyond a whole one somebody could.
 */
const metered: Steps = {
  said: halfSettingStepStops + rounding,
  medium: 1 / 3 + rounding,
  high: 1 + rounding,
};

/**
 * The level of a picture also depends on its subject, so without a meter no offset weighs high. White things reflect 83
 * to 90% (the cards of Report ITU-R BT.2408-7, table 1), 2.2 to 2.3 stops over grey: a picture full of them is as
 * bright with nothing wrong. Dark woods and water reflect some 5%, 1.85 stops under grey (from memory), 1.15 beyond the
 * usual window. Said from 0.7: common practice, no source.
 */
const pictured = {
  'too-bright': { said: 0.7, medium: 2.2, high: Infinity },
  'too-dark': { said: 0.7, medium: 1.15, high: Infinity },
} as const satisfies Record<string, Steps>;

/**
 * PQ holds the light of a display, and what a display shall show a camera or a grade chose: its level is only remarked
 * on.
 */
const isChosen = ({ facts }: Recording): boolean => facts.transfer?.value === 'pq';

/** too-bright and too-dark: the exposure offset lies outside the window. */
export const offsetOutside: Check = ({ recording, offset, limits }) => {
  if (!offset) return undefined;
  const [low, high] = limits.windowStops;
  const over = offset.offsetStops - high;
  const kind = over > 0 ? 'too-bright' : 'too-dark';
  const beyondStops = Math.max(over, low - offset.offsetStops);
  const steps = offset.basis === 'metered' ? metered : pictured[kind];
  if (beyondStops <= steps.said) return undefined;
  const curveIsAssumed = offset.basis === 'picture' && isTransferAssumed(recording.facts);
  const certainStops = curveIsAssumed ? beyondStops - assumedTransferStops : beyondStops;
  const weight = offset.basis === 'picture' && isChosen(recording) ? 'low' : weightOf(certainStops, steps);
  const leftOutStops = kind === 'too-bright' ? stopsLeftOut(recording, offset.basis) : 0;
  return {
    kind,
    weight: brightnessWeight(recording, weight),
    ...offset,
    ...(leftOutStops > 0 && { leftOutStops }),
    ...(curveIsAssumed && { curveIsAssumed }),
  };
};

function stopsLeftOut({ facts }: Recording, basis: ExposureBasis): number {
  if (basis === 'metered' || facts.transfer === undefined) return 0;
  return whiteMayBeHigherStops(facts.transfer.value);
}

function weightOf(beyondStops: number, { medium, high }: Steps): FindingWeight {
  if (beyondStops > high) return 'high';
  return beyondStops > medium ? 'medium' : 'low';
}
