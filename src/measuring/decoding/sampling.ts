/** `sampled`: as many pictures as the answer needs. `full`: as many as it takes where it is in doubt. `every`: every key frame. */
export type MeasureMode = 'sampled' | 'full' | 'every';

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
}

interface Closeness {
  readonly samples: number;
  readonly pairs: number;
  /** Beyond a minute the number of samples grows with this power of the length. */
  readonly growth: number;
}

/**
 * `first`: what shows whether a clip is clearly well; of simulated clips the 1% flag came out differently in 2.2%, all of
 * them near a limit. `scouted`: beside what a low-resolution copy shows. `full`: enough for a median, and for spans of a twenty-fourth of a minute.
 */
const closenesses = {
  first: { samples: 8, pairs: 2, growth: 1 / 6 },
  scouted: { samples: 2, pairs: 1, growth: 0 },
  full: { samples: 24, pairs: 6, growth: 1 / 3 },
} as const satisfies Readonly<Record<string, Closeness>>;

/** Where the length of a clip is unknown. */
const stepOfUnknownSeconds = 0.5;
const assumedFramesPerSecond = 30;

/**
 * Which frames to look at. A clip of up to a minute gets 8 at first and 24 in full.
 * @example planSampling({ durationSeconds: 60, framesPerSecond: 25 }, 'full').stepSeconds // 2.5
 */
export function planSampling(
  extent: ClipExtent,
  closeness: keyof typeof closenesses,
  pairs: number = closenesses[closeness].pairs,
): SamplingPlan {
  const frameSeconds = 1 / (extent.framesPerSecond ?? assumedFramesPerSecond);
  const durationSeconds = extent.durationSeconds ?? (extent.frameCount && extent.frameCount * frameSeconds);
  if (durationSeconds === undefined) return { stepSeconds: stepOfUnknownSeconds, stepsPerPair: 10 };
  const frames = Math.max(1, Math.round(durationSeconds / frameSeconds));
  const { samples, growth } = closenesses[closeness];
  const steps = Math.min(frames, Math.round(samples * Math.max(1, durationSeconds / 60) ** growth));
  return {
    stepSeconds: durationSeconds / steps,
    steps,
    stepsPerPair: Math.max(1, Math.ceil(steps / pairs)),
  };
}

/** The step that a time lies in, counted from 0. Half a microsecond-rounded tick early is still in time. */
export function stepAt(plan: SamplingPlan, seconds: number): number {
  return Math.floor((seconds + earlySeconds) / plan.stepSeconds);
}

/** As much earlier a frame may be shown and still counts as in time. */
export const earlySeconds = 0.0001;

/** Whether motion is measured in a step: in the middle of each group of steps. */
export function isPairStep(plan: SamplingPlan, step: number): boolean {
  return step % plan.stepsPerPair === pairPlace(plan);
}

function pairPlace({ stepsPerPair }: Pick<SamplingPlan, 'stepsPerPair'>): number {
  return Math.floor(stepsPerPair / 2);
}

// What follows is for clips of which nobody has a table of pictures: ffmpeg jumps to each step, or reads through.

/** What a jump costs, in decoded frames: starting ffmpeg, reading the index, the key frame (measured). */
const jumpCostFrames = 10;
/** Share of a step. ffmpeg itself may start up to 0.13 s earlier where frames are stored out of order. */
const jumpPlace = 0.9;

/** False where decoding a clip from start to end costs less than jumping to its steps. */
export function isWorthJumping({ steps, stepSeconds }: SamplingPlan, framesPerSecond: number): boolean {
  return steps !== undefined && stepSeconds * framesPerSecond > jumpCostFrames;
}

/** True where jumping on costs more than decoding what is left, going by what the jumps so far had to decode. */
export function readingOnIsCheaper(
  plan: SamplingPlan,
  done: { readonly jumps: number; readonly framesDecoded: number },
  framesPerSecond: number,
): boolean {
  if (done.jumps < 2) return false;
  return jumpCostFrames + done.framesDecoded / done.jumps > plan.stepSeconds * framesPerSecond;
}

/**
 * ffmpeg select expression: the first frame of each step from `firstStep` on, and the frame after it where motion is
 * measured. Variables: 0 the last step that has its frame, counted from 1; 1 whether the last frame was its first;
 * 2 the step of this frame.
 */
export function throughExpression(plan: SamplingPlan, firstStep = 0): string {
  // As in stepAt().
  const step = `st(2,floor((t+${earlySeconds})/${plan.stepSeconds.toFixed(9)})+1)`;
  const pair = `eq(mod(ld(2)-1+${firstStep},${plan.stepsPerPair}),${pairPlace(plan)})`;
  return `0*${step}+if(gt(ld(2),ld(0)),st(0,ld(2))+st(1,1),if(eq(ld(1),1),st(1,0)+${pair},0))`;
}

/** Where to jump for a step: late in it, so that a key frame anywhere before is taken if it lies in the step. */
export function jumpSeconds(plan: SamplingPlan, step: number): number {
  return (step + jumpPlace) * plan.stepSeconds;
}

/** ffmpeg select expression for a jump: nothing from before the step. */
export function jumpExpression(plan: SamplingPlan): string {
  return `gte(t,${(-jumpPlace * plan.stepSeconds - earlySeconds).toFixed(6)})`;
}
