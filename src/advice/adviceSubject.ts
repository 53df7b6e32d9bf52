import type { ExposureBasis } from '../domain/finding.ts';
import type { FittedFilter, KitFilter } from '../domain/kit.ts';
import type { Limits } from '../domain/limits.ts';
import type { Measurement } from '../domain/measurement.ts';
import type { Recording } from '../domain/recording.ts';
import type { HighlightRoom } from './highlights.ts';
import type { LightRange } from './lightRange.ts';

/** What advice on one recording rests on. */
export interface AdviceSubject {
  readonly recording: Recording;
  /** Absent where pictures were not measured. */
  readonly measurement?: Measurement;
  readonly limits: Limits;
  /** The pilot's filters; "none" is always a choice beside them. */
  readonly kit: readonly KitFilter[];
  /** What sat on the lens. Absent = unknown, which is not the same as `none`. */
  readonly fitted?: FittedFilter;
  /** How far the exposure is off, + = over. */
  readonly offset?: { readonly offsetStops: number; readonly basis: ExposureBasis };
  /** Set where the exposure time was not recorded but measured in the picture. */
  readonly measured?: { readonly uncertaintyStops: number };
  /** How the light on the scene changed during the clip. Absent where it did not. */
  readonly light?: LightRange;
  /** What the picture says of its highlights. */
  readonly highlightRoom?: HighlightRoom;
  /** f-numbers that recordings of this camera carry: more than one proves that the lens has an iris. */
  readonly fNumbersSeen?: readonly number[];
}
