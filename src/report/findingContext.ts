import type { Finding, FindingKind } from '../domain/finding.ts';
import type { RecordingKind } from '../domain/recording.ts';
import type { ReportedShutter } from '../document/reportedShutter.ts';

/** What a sentence can say beyond the finding itself; what is absent is not said, unknown motion is said. */
export interface FindingContext {
  readonly recordingKind?: RecordingKind;
  /** Of the clip, > 0. */
  readonly durationSeconds?: number;
  readonly matters?: ReportedShutter['matters'];
  readonly seen?: ReportedShutter['seen'];
  readonly windowStops?: readonly [number, number];
  /** How far the ISO was above base, >= 0: what is left of the room for brightening. */
  readonly isoOverStops?: number;
  /** Whether the advice names the filter for all that was found together: then no finding does so for itself. */
  readonly filterAdvised?: boolean;
}

/** The member of the union that holds `K`; `Extract` would lose members that share their shape between kinds. */
export type FindingOf<K extends FindingKind, F = Finding> = F extends { readonly kind: infer Kinds }
  ? K extends Kinds
    ? F
    : never
  : never;

export type SentencesFor<Kinds extends FindingKind> = {
  readonly [K in Kinds]: (finding: FindingOf<K>, context: FindingContext) => string;
};
