import type { Finding } from '../../domain/finding.ts';
import { mostSeriousFirst } from '../judge.ts';
import {
  bracketFrameMissing,
  bracketHighlightsLost,
  bracketSettingsChange,
  bracketShadowsLost,
  bracketUneven,
} from './bracketChecks.ts';
import {
  seriesExposureShort,
  seriesExposureSteps,
  seriesFramesDropped,
  seriesHighlightsClipped,
  seriesOffset,
} from './seriesChecks.ts';
import type { JudgedSequence, SequenceCheck } from './sequenceCheck.ts';

/** Every check of brackets and series there is; findings of equal weight keep this order. */
const sequenceChecks: readonly SequenceCheck[] = [
  bracketFrameMissing,
  bracketSettingsChange,
  bracketHighlightsLost,
  bracketShadowsLost,
  bracketUneven,
  seriesExposureShort,
  seriesHighlightsClipped,
  seriesOffset,
  seriesFramesDropped,
  seriesExposureSteps,
];

/** All that the checks find in one bracket or series, the weightiest first. */
export function judgeSequence(subject: JudgedSequence): readonly Finding[] {
  return mostSeriousFirst(sequenceChecks.flatMap((check) => check(subject) ?? []));
}

/** What a sequence answers for as a whole: its frames are bright, dark or burnt on purpose, or all alike. */
const answeredBySequence: ReadonlySet<Finding['kind']> = new Set<Finding['kind']>([
  'too-bright',
  'too-dark',
  'highlights-clipped',
  'disc-clipped',
  'shadows-crushed',
]);

/** The findings of a still that stand although it belongs to a bracket or series. */
export function findingsOfMember(findings: readonly Finding[]): readonly Finding[] {
  return findings.filter(({ kind }) => !answeredBySequence.has(kind));
}
