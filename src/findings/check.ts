import type { ExposureBasis, Finding } from '../domain/finding.ts';
import type { Limits } from '../domain/limits.ts';
import type { Measurement } from '../domain/measurement.ts';
import type { Recording } from '../domain/recording.ts';

/** How far the exposure of a recording is off; + = over. */
export interface ExposureOffset {
  readonly offsetStops: number;
  readonly basis: ExposureBasis;
}

/** What a check may look at. */
export interface Judged {
  readonly recording: Recording;
  /** Absent where pictures were not measured. */
  readonly measurement?: Measurement;
  readonly limits: Limits;
  /** Absent where neither the meter nor the picture tells. */
  readonly offset?: ExposureOffset;
}

/** Looks at one thing. Absence of what it needs is not a finding, unless the check is about that absence. */
export type Check = (subject: Judged) => Finding | undefined;
