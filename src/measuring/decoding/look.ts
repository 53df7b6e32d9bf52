import type { Measurement } from '../../domain/measurement.ts';
import type { Frame, FrameRequest } from './frame.ts';
import type { SamplingPlan } from './sampling.ts';

/** A clip that is open for decoding. */
export interface ClipDecoding extends Pick<FrameRequest, 'program' | 'media' | 'geometry' | 'signal'> {
  readonly framesPerSecond: number;
  /** Frames of a clip by its own index, where that is known. */
  readonly frameCount?: number;
  /** Rows of a picture that are enough, where the usual number is more than is needed. */
  readonly enoughRows?: number;
}

/** Which pictures of a clip to look at. */
export interface Look {
  /** A picture in each step: a key frame that lies in it, else its first. And the next one where the plan has a pair. */
  readonly plan?: SamplingPlan;
  /** Steps without a key frame are left out, and pairs begin with one. */
  readonly keysOnly?: boolean;
  /** Every key frame beside those of the plan. */
  readonly everyKey?: boolean;
  readonly stretches?: readonly Stretch[];
  readonly runs?: readonly Run[];
  readonly moments?: readonly Moment[];
  /** Each code of a picture in a pair is the mean of a block with sides of so many pixels. */
  readonly pairShrunkBy?: number;
}

/** Where one picture is looked at: a key frame that lies in it, else, unless only those are wanted, its first. */
export interface Stretch {
  readonly fromSeconds: number;
  readonly toSeconds: number;
  readonly keysOnly?: boolean;
}

/** Pictures that follow each other. */
export interface Run {
  readonly startSeconds: number;
  /** The run begins with the last key frame up to here, and not past it. */
  readonly fromKey?: boolean;
  readonly endSeconds: number;
  /** They are so far apart or more. */
  readonly everySeconds: number;
  readonly mostFrames: number;
  /** Asked while the run is decoded: whether nothing more of it is needed. */
  readonly isEnough?: () => boolean;
}

/** Pairs that follow each other: each frame but the first closes one, each but the last opens one. */
export interface Moment {
  /** When the first frame is shown. */
  readonly atSeconds: number;
  readonly pairs: number;
}

/** A frame, and what it was decoded for. */
export interface LookedAt {
  readonly frame: Frame;
  readonly isSample: boolean;
  readonly opensPair: boolean;
  readonly closesPair: boolean;
  readonly run?: Run;
}

export type EndedEarly = Measurement['endedEarly'];

/** Pictures, and at last whether those of the clip ended before they should have. */
export type Pictures = AsyncGenerator<LookedAt, EndedEarly>;

/** Decodes single pictures of one clip. */
export interface PictureReader {
  readonly look: (look: Look) => Pictures;
  /** Whether looking by this plan, at key frames only, costs a small part of a closer look. */
  readonly isQuick: (plan: SamplingPlan) => boolean;
  /** When the last picture ends, where that is known. */
  readonly endSeconds?: number;
}
