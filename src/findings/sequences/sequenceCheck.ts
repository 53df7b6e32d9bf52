import type { Finding } from '../../domain/finding.ts';
import type { Limits } from '../../domain/limits.ts';
import type { Measurement } from '../../domain/measurement.ts';
import type { StillSequence } from '../../domain/sequence.ts';
import type { ExposureOffset } from '../check.ts';

/** What is known of one still of a sequence beside its facts; each part is absent where it is not known. */
export interface MemberEvidence {
  readonly measurement?: Measurement;
  readonly offset?: ExposureOffset;
}

export interface JudgedSequence {
  readonly sequence: StillSequence;
  /** In the order of the members. */
  readonly evidence: readonly MemberEvidence[];
  readonly limits: Limits;
}

export type SequenceCheck = (subject: JudgedSequence) => Finding | undefined;
