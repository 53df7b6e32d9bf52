export type MeasureMode = 'sampled' | 'every';

interface ClipExtent {
  readonly durationSeconds?: number;
  /** As played: what the times in the file go by. */
  readonly framesPerSecond?: number;
  readonly frameCount?: number;
}

/** The clip is cut into steps of equal length, and one frame is looked at in each. */
export interface SamplingPlan {
  readonly stepSeconds: number;
  /** How many steps; absent where the length of the clip is not known. */
  readonly steps?: number;
  /** Every so many steps the following frame is looked at too, for motion. */
  readonly stepsPerPair: number;
  /** `through`: decode from start to end. `keys`: the key frames, and jumps where those are too few or too many. */
  readonly reading: 'through' | 'keys';
  /** More key frames than this cost more to read than jumps do. Absent where each is to be decoded. */
  readonly mostKeyFrames?: number;
}

/** Enough for a median, and for spans of a twenty-fourth of a minute. */
const samplesPerMinute = 24;
const pairsPerClip = 6;
/** A jump costs as much as this many key frames that are read and not decoded, on a slow card. */
const keyFramesPerJump = 25;
/** Without enough key frames, jumps decode on from the one before. */
const sparseKeys = 1.5;
/** What a seek costs, in decoded frames: starting ffmpeg, reading the index, the key frame (measured, see DEVELOPERS). */
const seekCostFrames = 10;
/** Share of a step. ffmpeg itself may start up to 0.13 s earlier where frames are stored out of order. */
const seekPlace = 0.9;
/** Where the length of a clip is unknown. */
const stepOfUnknownSeconds = 0.5;
const assumedFramesPerSecond = 30;

/**
 * Which frames to look at. A short clip gets 24; beyond a minute their number grows with the cube root of the length,
 * so ten minutes cost about twice of what one costs.
 * @example planSampling({ durationSeconds: 60, framesPerSecond: 25 }, 'sampled').stepSeconds // 2.5
 */
export function planSampling(extent: ClipExtent, mode: MeasureMode): SamplingPlan {
  const framesPerSecond = extent.framesPerSecond ?? assumedFramesPerSecond;
  const frameSeconds = 1 / framesPerSecond;
  const durationSeconds = extent.durationSeconds ?? (extent.frameCount && extent.frameCount * frameSeconds);
  if (durationSeconds === undefined)
    return { stepSeconds: stepOfUnknownSeconds, stepsPerPair: 10, reading: 'through' };
  const frames = Math.max(1, Math.round(durationSeconds * framesPerSecond));
  const samples = Math.round(samplesPerMinute * Math.max(1, durationSeconds / 60) ** (1 / 3));
  const steps = Math.min(frames, samples);
  const plan = {
    stepSeconds: durationSeconds / steps,
    steps,
    stepsPerPair: Math.max(1, Math.ceil(steps / pairsPerClip)),
  };
  if (mode === 'every') return { ...plan, reading: 'keys' };
  if (frames <= seekCostFrames * steps) return { ...plan, reading: 'through' };
  return { ...plan, reading: 'keys', mostKeyFrames: keyFramesPerJump * steps };
}

/** Whether to go on with the key frames of a clip, by how far apart the first of them are. */
export function keysFit(plan: SamplingPlan, keySeconds: number): boolean {
  if (plan.steps === undefined) return false;
  const keyFrames = (plan.steps * plan.stepSeconds) / keySeconds;
  return keyFrames <= (plan.mostKeyFrames ?? Infinity) && keySeconds <= sparseKeys * plan.stepSeconds;
}

/** The step that a time lies in, counted from 0. Half a microsecond-rounded tick early is still in time. */
export function stepAt(plan: SamplingPlan, seconds: number): number {
  return Math.floor((seconds + 0.0001) / plan.stepSeconds);
}

/** Whether motion is measured in a step: in the middle of each group of steps. */
export function isPairStep(plan: SamplingPlan, step: number): boolean {
  return step % plan.stepsPerPair === pairPlace(plan);
}

function pairPlace({ stepsPerPair }: Pick<SamplingPlan, 'stepsPerPair'>): number {
  return Math.floor(stepsPerPair / 2);
}

/** How many steps of a plan measure motion; undefined where the length of the clip is not known. */
export function pairStepsOf(plan: SamplingPlan): number | undefined {
  const { steps } = plan;
  return steps && Array.from({ length: steps }, (_, step) => isPairStep(plan, step)).filter(Boolean).length;
}

/** True where jumping on costs more than decoding what is left, going by what the jumps so far had to decode. */
export function readingOnIsCheaper(
  plan: SamplingPlan,
  done: { readonly seeks: number; readonly framesDecoded: number; readonly step: number },
  framesPerSecond: number,
): boolean {
  if (plan.steps === undefined || done.seeks < 2) return false;
  const left = plan.steps - done.step;
  return (
    left * (seekCostFrames + done.framesDecoded / done.seeks) > left * plan.stepSeconds * framesPerSecond
  );
}

/**
 * ffmpeg select expression: the first frame of each step from `firstStep` on, and the frame after it where motion is
 * measured. Variables: 0 the last step that has its frame, counted from 1; 1 whether the last frame was its first;
 * 2 the step of this frame.
 */
export function throughExpression(plan: SamplingPlan, firstStep = 0): string {
  // As in stepAt().
  const step = `st(2,floor((t+0.0001)/${plan.stepSeconds.toFixed(9)})+1)`;
  const pair = `eq(mod(ld(2)-1+${firstStep},${plan.stepsPerPair}),${pairPlace(plan)})`;
  return `0*${step}+if(gt(ld(2),ld(0)),st(0,ld(2))+st(1,1),if(eq(ld(1),1),st(1,0)+${pair},0))`;
}

/**
 * ffmpeg expression over the packets of key frames: true of all but the first two of a clip, and the first in each step
 * that has no pair. Variables: 0 the last step that has its frame, counted from 1; 1 the step of this packet; 2 how many
 * were kept.
 */
export function laterKeysExpression(plan: SamplingPlan): string {
  // As in stepAt() and isPairStep().
  const step = `st(1,floor((pts*tb+0.0001)/${plan.stepSeconds.toFixed(9)})+1)`;
  const pair = `eq(mod(ld(1)-1,${plan.stepsPerPair}),${pairPlace(plan)})`;
  const isKept = `lt(ld(2),2)+gt(ld(1),ld(0))*not(${pair})`;
  return `0*${step}+if(${isKept},0*(st(0,ld(1))+st(2,ld(2)+1)),1)`;
}

/** Where to jump for a step: late in it, so that a key frame anywhere before is taken if it lies in the step. */
export function seekSeconds(plan: SamplingPlan, step: number): number {
  return (step + seekPlace) * plan.stepSeconds;
}

/** ffmpeg select expression for a jump: nothing from before the step. */
export function seekExpression(plan: SamplingPlan): string {
  return `gte(t,${(-seekPlace * plan.stepSeconds - 0.0001).toFixed(6)})`;
}
