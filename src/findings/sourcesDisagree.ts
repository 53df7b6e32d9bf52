import { z } from 'zod';
import { displayText } from '../domain/displayText.ts';
import { factLabel } from '../domain/factWording.ts';
import { formatExposure, formatRate } from '../domain/format.ts';
import { framesPerSecond } from '../domain/frameRate.ts';
import type { FactName, FactValues, Sighting } from '../domain/recording.ts';
import { finding } from './finding.ts';

/** Facts on which a verdict or the advice rests. Differences within rounding never reach this place. */
const disagreeableFacts = [
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

export const sourcesDisagree = finding({
  kind: 'sources-disagree',
  data: z.object({ fact: z.enum(disagreeableFacts), chosen: z.string(), other: z.string() }),
  topic: 'sources',
  title: 'sources disagree',
  check: ({ recording }) =>
    disagreeableFacts.flatMap((fact) => {
      const chosen = recording.facts[fact];
      if (!chosen?.others || chosen.others.length === 0) return [];
      return {
        weight: weighty.includes(fact) ? 'medium' : 'low',
        fact,
        chosen: sightingText(fact, chosen),
        other: chosen.others.map((other) => sightingText(fact, other)).join(', '),
      };
    }),
  sentence: ({ fact, chosen, other }) =>
    `Two sources disagree on ${factLabel(fact)}: ${displayText(chosen)} was used, another one says ${displayText(other)}.`,
  remedy: () => ({}),
  meaning:
    'The same thing was recorded in two places, and not alike. What was judged rests on the one that is more to be trusted; ' +
    'if that one is wrong, so is the verdict.',
  limit: {
    at: 'values that differ by more than their rounding, such as 0.1 stop of exposure time; flagged where exposure time or frame rate differ',
    reason: 'the shutter verdict stands on these two alone',
    source: 'nominal exposure times and f-numbers are up to 0.1 stop from the exact ones: arithmetic',
  },
  example: {
    weight: 'medium',
    fact: 'exposureSeconds',
    chosen: '1/120 s (SubRip sidecar CLIP0020.SRT)',
    other: '1/100 s (XMP sidecar CLIP0020.XMP)',
  },
});

function sightingText(fact: DisagreeableFact, sighting: Sighting<FactValues[DisagreeableFact]>): string {
  return `${valueText(fact, sighting.value)} (${sighting.source})`;
}

function valueText(fact: DisagreeableFact, value: FactValues[DisagreeableFact]): string {
  if (typeof value === 'object') return `${formatRate(framesPerSecond(value))} frames/s`;
  if (typeof value === 'string') return value;
  const rounded = (number: number) => String(Number(number.toPrecision(4)));
  if (fact === 'exposureSeconds') return formatExposure(value);
  if (fact === 'iso') return `ISO ${rounded(value)}`;
  if (fact === 'fNumber') return `f/${rounded(value)}`;
  return `${rounded(value)} stops`;
}
