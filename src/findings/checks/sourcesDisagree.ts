import { frameRateName } from '../../domain/frameRate.ts';
import type { FactName, FactValues, Sighting } from '../../domain/recording.ts';
import type { Check } from '../check.ts';

/** Facts on which a verdict or the advice rests. Differences within rounding never reach this place. */
export const disagreeableFacts = [
  'exposureSeconds',
  'frameRate',
  'iso',
  'fNumber',
  'meteredOffsetStops',
  'exposureBiasStops',
  'recordedFilterStops',
  'transfer',
  'range',
] as const satisfies readonly FactName[];

type DisagreeableFact = (typeof disagreeableFacts)[number];

/** The shutter verdict stands on these two alone. */
const weighty: readonly FactName[] = ['exposureSeconds', 'frameRate'];

/** sources-disagree, for one fact. */
export function sourcesDisagree(fact: DisagreeableFact): Check {
  return ({ recording }) => {
    const chosen = recording.facts[fact];
    if (!chosen?.others || chosen.others.length === 0) return undefined;
    return {
      kind: 'sources-disagree',
      weight: weighty.includes(fact) ? 'medium' : 'low',
      fact,
      chosen: sightingText(fact, chosen),
      other: chosen.others.map((other) => sightingText(fact, other)).join(', '),
    };
  };
}

function sightingText(fact: DisagreeableFact, sighting: Sighting<FactValues[DisagreeableFact]>): string {
  return `${valueText(fact, sighting.value)} (${sighting.source})`;
}

function valueText(fact: DisagreeableFact, value: FactValues[DisagreeableFact]): string {
  if (typeof value === 'object') return `${frameRateName(value)} frames/s`;
  if (typeof value === 'string') return value;
  const rounded = (number: number) => String(Number(number.toPrecision(4)));
  if (fact === 'exposureSeconds') return value < 0.3 ? `1/${rounded(1 / value)} s` : `${rounded(value)} s`;
  if (fact === 'iso') return `ISO ${rounded(value)}`;
  if (fact === 'fNumber') return `f/${rounded(value)}`;
  return `${rounded(value)} stops`;
}
