import type { CloserReason, FrameMeasure } from '../domain/measurement.ts';
import { median } from '../domain/statistics.ts';

// Eight pictures and two pairs decide most clips. Where what they show is near a limit or differs from one to another,
// three times as many are looked at, and the findings rest on all of them.

/** Shares that findings ask about, and how near to a limit is too near: within so much of it, as a factor. */
const shareLimits = { clippedFraction: 0.01, crushedFraction: 0.01, channelClippedFraction: 0.1 } as const;
const nearShareBelow = 5;
const nearShareAbove = 3;
/** Channels are remarked on from 3% and flagged from 10%. */
const nearChannelShares = [0.015, 0.2] as const;
/** Pictures whose shares lie farther apart than this, and by more than this factor, do not show the same. */
const differentShare = 0.005;
const differentFactor = 1.5;
/** Half of what is said of a drift, and less than any swing that is. */
const differentStops = 0.25;
/**
 * Levels that brightness flags a clip from, by the picture alone: 1.85 stops under mid-grey; of light over it 1.5 stops
 * where highlights burn and 2.2 elsewhere, which the shoulder of cameras brings down to these.
 */
const brightnessLimitsStops = [-1.85, 1.2, 1.65] as const;
/** As far as pictures may differ that show the same. */
const nearStops = differentStops;
/** A gap of 1/336 of the width is seen; what a shutter leaves of the motion is half of it or more. */
const passableFractionOfWidth = 1 / 336;
const nearMotionFactor = 1.5;
const leastPictures = 3;
/** Beyond that a look at so few leaves minutes between them. */
const longSeconds = 600;

interface FirstLook {
  readonly frames: readonly FrameMeasure[];
  readonly widthPixels: number;
  readonly durationSeconds: number | undefined;
  /** Whether the recorded settings or the meter changed while the clip ran. */
  readonly settingsChange: boolean;
  /** Whether a picture was asked for and did not come. */
  readonly pictureMissing: boolean;
  /** Whether the pictures of a low-resolution copy differ. */
  readonly copyDiffers?: boolean;
}

/**
 * Why a first look does not decide a clip; empty where it does.
 * @example reasonsToLookCloser({ frames: [], widthPixels: 3840, durationSeconds: 9, settingsChange: false, pictureMissing: false }) // ['few-pictures']
 */
export function reasonsToLookCloser(look: FirstLook): readonly CloserReason[] {
  // Titles and fades differ from what comes after them, which tells nothing of the clip.
  const frames = look.frames.filter(({ noScene }) => noScene === undefined);
  const reasons: Readonly<Record<CloserReason, boolean>> = {
    'no-short-cut': false,
    'copy-differs': look.copyDiffers === true,
    'few-pictures': isTooFew(frames, look.frames) || look.pictureMissing,
    'long-clip': (look.durationSeconds ?? 0) > longSeconds,
    'settings-change': look.settingsChange,
    'pictures-differ': picturesDiffer(frames),
    'share-near-limit': frames.some(isShareNearLimit),
    'level-near-limit': isLevelNearLimit(frames),
    'motion-near-limit': isMotionNearLimit(frames, look.widthPixels),
  };
  return (Object.keys(reasons) as CloserReason[]).filter((reason) => reasons[reason]);
}

/** Where all pictures are black or a title, more of them would be too. */
function isTooFew(scenes: readonly FrameMeasure[], all: readonly FrameMeasure[]): boolean {
  return all.length < leastPictures || (scenes.length > 0 && scenes.length < leastPictures);
}

/** Whether pictures of one clip show it differently bright, clipped or crushed. */
export function picturesDiffer(frames: readonly FrameMeasure[]): boolean {
  const levels = frames.flatMap(({ levelStops }) => levelStops ?? []);
  if (Math.max(...levels) - Math.min(...levels) > differentStops) return true;
  return (Object.keys(shareLimits) as (keyof typeof shareLimits)[]).some((name) => {
    const shares = frames.map((frame) => frame[name]);
    const [least, most] = [Math.min(...shares), Math.max(...shares)];
    return most - least > differentShare && most > differentFactor * least;
  });
}

function isShareNearLimit({
  clippedFraction,
  crushedFraction,
  channelClippedFraction,
}: FrameMeasure): boolean {
  const isNear = (share: number, limit: number): boolean =>
    share > limit / nearShareBelow && share < limit * nearShareAbove;
  const ofColour = channelClippedFraction - clippedFraction;
  return (
    isNear(clippedFraction, shareLimits.clippedFraction) ||
    isNear(crushedFraction, shareLimits.crushedFraction) ||
    (ofColour > nearChannelShares[0] && ofColour < nearChannelShares[1])
  );
}

function isLevelNearLimit(frames: readonly FrameMeasure[]): boolean {
  const level = median(frames.flatMap(({ levelStops }) => levelStops ?? []));
  return level !== undefined && brightnessLimitsStops.some((limit) => Math.abs(level - limit) < nearStops);
}

function isMotionNearLimit(frames: readonly FrameMeasure[], widthPixels: number): boolean {
  const motions = frames.flatMap(({ motionPixelsPerFrame }) => motionPixelsPerFrame ?? []);
  const most = Math.max(...motions) / widthPixels;
  return (
    most > passableFractionOfWidth / nearMotionFactor && most < 2 * passableFractionOfWidth * nearMotionFactor
  );
}
