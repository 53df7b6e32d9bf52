import type { z } from 'zod';
import type { ExposureBasis, FindingWeight } from '../domain/findingWeight.ts';
import type { FittedFilter, KitFilter } from '../domain/filterKit.ts';
import type { Limits } from '../domain/limits.ts';
import type { Measurement } from '../domain/measurement.ts';
import type { Recording, RecordingKind } from '../domain/recording.ts';
import type { JudgedShutter } from '../domain/shutter.ts';
import type { StillSequence } from '../domain/sequence.ts';

/** How far the exposure of a recording is off; + = over. */
export interface ExposureOffset {
  readonly offsetStops: number;
  readonly basis: ExposureBasis;
}

/** What a check of a single recording may look at. */
export interface Judged {
  readonly recording: Recording;
  /** Absent where pictures were not measured. */
  readonly measurement?: Measurement;
  readonly limits: Limits;
  /** Absent where neither the meter nor the picture tells. */
  readonly offset?: ExposureOffset;
}

/** What a check of a group of stills may look at. */
export interface JudgedSequence {
  readonly sequence: StillSequence;
  /** In the order of the members. */
  readonly evidence: readonly MemberEvidence[];
  readonly limits: Limits;
}

/** What is known of one still of a sequence beside its facts; each part is absent where it is not known. */
export interface MemberEvidence {
  readonly measurement?: Measurement;
  readonly offset?: ExposureOffset;
}

/** What a check of one recording among the others of its flight may look at. */
export interface JudgedMember {
  readonly member: FlightLight;
  /** The member among them. */
  readonly flight: readonly FlightLight[];
  readonly kit: readonly KitFilter[];
}

export interface FlightLight {
  readonly recording: Recording;
  readonly fitted?: FittedFilter;
  /** Light on the scene as EV at ISO 100, the fitted filter included; absent where it is not known. */
  readonly sceneEv100?: number;
  /** Light that stays the same all through. */
  readonly steady: boolean;
  /** Seconds since 1970. */
  readonly atSeconds?: number;
}

/** What a sentence can say beyond the finding itself; what is absent is not said, unknown motion is said. */
export interface FindingContext {
  readonly recordingKind?: RecordingKind;
  /** Of the clip, > 0. */
  readonly durationSeconds?: number;
  readonly matters?: JudgedShutter['matters'];
  readonly seen?: JudgedShutter['seen'];
  readonly windowStops?: readonly [number, number];
  /** How far the ISO was above base, >= 0: what is left of the room for brightening. */
  readonly isoOverStops?: number;
  /** Set where a recording was advised on as a whole: then no finding asks for anything of its own light. */
  readonly advised?: WholeAdvice;
}

/** What was advised for all that was found in a recording together. */
export interface WholeAdvice {
  /** To quote as a remedy; absent where the filter advice says it. */
  readonly sentence?: string;
  /** Whether a darker picture goes with it. */
  readonly mayBeDarker: boolean;
  /** Set where the light was that of night or of a room, or looked like it behind a filter that nobody named. */
  readonly light?: 'low' | 'low-or-filtered';
  /** Set where ISO has to stay above base. */
  readonly needsIso?: boolean;
}

/** What can be done about a finding in the edit, and what to do at the next flight; each may be nothing. */
export interface Remedy {
  readonly inTheEdit?: string;
  readonly nextTime?: string;
}

export const commonPractice = 'common practice, no source';
export const noLimit = 'no limit is needed: it is there or it is not';

/** What was found, with how it weighs; where it belongs to a part of a clip, in seconds from its first frame. */
export type Found<Data extends z.ZodObject> = {
  readonly weight: FindingWeight;
  readonly startSeconds?: number;
  readonly endSeconds?: number;
} & Readonly<z.output<Data>>;

/** All there is to say about one kind of finding. */
interface FindingDefinition<Kind extends string, Data extends z.ZodObject, Subject> {
  readonly kind: Kind;
  /** What a finding of this kind holds. */
  readonly data: Data;
  /** What it is about, in one word or two. */
  readonly topic: string;
  /** What it is called where there is room for a few words only, of one recording as of many. */
  readonly title: string;
  /** Absence of what it needs is not a finding, unless the check is about that absence. */
  readonly check: (subject: Subject) => Found<Data> | readonly Found<Data>[] | undefined;
  /** Tells a pilot what is wrong and whether it matters. */
  readonly sentence: (finding: Found<Data>, context: FindingContext) => string;
  readonly remedy: (finding: Found<Data>, context: FindingContext) => Remedy;
  /** What it means for the picture, in a sentence or two. */
  readonly meaning: string;
  /** From where on it is a finding, why there, and who says so. */
  readonly limit: { readonly at: string; readonly reason: string; readonly source: string };
  /** A finding of this kind as there may be one, to explain it by. */
  readonly example: Found<Data>;
}

/** One kind of finding, whole: what does not have all its parts does not compile. */
export function finding<Kind extends string, Data extends z.ZodObject, Subject = Judged>(
  definition: FindingDefinition<Kind, Data, Subject>,
) {
  const { kind, check } = definition;
  return {
    ...definition,
    find: (subject: Subject): readonly (Found<Data> & { readonly kind: Kind })[] =>
      ([check(subject) ?? []].flat() as readonly Found<Data>[]).map((result) => ({ kind, ...result })),
  };
}
