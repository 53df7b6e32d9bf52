import { z } from 'zod';
import { formatBlurAngle } from '../domain/format.ts';
import type { Recording } from '../domain/recording.ts';
import type { ShutterReason } from '../domain/shutter.ts';
import { finding, noLimit, type Remedy } from './finding.ts';

/** Why motion blur does not tell a shutter, as sentences. */
export const silentBlur: Readonly<Record<ShutterReason, string>> = {
  'too-few-pairs': 'There are too few frames to tell it from the motion blur.',
  'too-little-motion': 'The picture moves too little, even where it moves most, for its blur to tell it.',
  'too-much-motion': 'The picture moves too fast for its size to be followed from one frame to the next.',
  'too-little-texture': 'The picture holds too little detail to tell it from the motion blur.',
  'too-noisy': 'The picture is too noisy to tell it from the motion blur.',
  'too-dark': 'The picture is too dark to tell it from the motion blur: grain would pass for detail.',
  'too-compressed':
    'The picture is softer than motion makes it: compression, lens or focus took the detail that would tell it.',
  'mixed-motions': 'Too many different motions in the picture keep it from being told from the motion blur.',
  'bands-disagree': 'Slow and fast parts of the picture tell different angles, so none is believed.',
  'windows-disagree': 'Different moments of the clip tell different angles, so none is believed.',
  'repeated-frames': 'Frames are shown twice, so the motion blur tells nothing.',
  'uneven-sharpness':
    'Frames were blended, as where a frame rate was changed, or differ in sharpness, so the motion blur tells nothing.',
  'repeating-texture':
    'A pattern in the picture, or motion other than that of the camera, keeps it from being told from the motion blur.',
  'interval-too-wide': 'The motion blur leaves too wide a range of angles to say one.',
  interlaced: 'The picture is stored in fields that may be of two moments, so the motion blur tells nothing.',
};
const blurReasons = Object.keys(silentBlur) as ShutterReason[];

const data = z.object({
  /** `unread-track`: it may have been recorded where it cannot be read; `believable-exposure`: it cannot be true. */
  missing: z.enum(['exposure', 'frame-rate', 'unread-track', 'believable-exposure']),
  /** With `unread-track`: what could not be read, each with its article. */
  tracks: z.array(z.string()).readonly().optional(),
  /** With `believable-exposure`: what was recorded and where, and why it is not believed. */
  refused: z.object({ raw: z.string(), source: z.string(), reason: z.string() }).optional(),
  /** Why the motion blur does not tell it either; absent where it was not looked at. */
  blurReason: z.enum(blurReasons).optional(),
  /** What the angle was at most by the motion blur, with 95%. */
  atMostDegrees: z.number().optional(),
});
type Unknown = z.output<typeof data>;

const mostTracks = 3;

const switchOn = {
  nextTime: 'Switch on the recording of flight and camera data, if the camera has such a setting.',
};
const remedies: Readonly<Record<Unknown['missing'], Remedy>> = {
  exposure: switchOn,
  'frame-rate': switchOn,
  'unread-track': {
    nextTime:
      'Have the camera write its data as text (subtitles) too, if it has such a setting: that is read.',
  },
  'believable-exposure': {},
};

export const shutterUnknown = finding({
  kind: 'shutter-unknown',
  data,
  topic: 'shutter',
  title: 'shutter unknown',
  check: ({ recording, measurement }) => {
    const { exposureSeconds, frameRate } = recording.facts;
    if (recording.kind !== 'clip' || (exposureSeconds && frameRate)) return undefined;
    if (frameRate && measurement?.shutter?.verdict === 'short') return undefined;
    return {
      weight: 'low',
      ...(exposureSeconds ? { missing: 'frame-rate' as const } : missingExposure(recording)),
      blurReason: measurement?.shutter?.reason,
      ...(!exposureSeconds && { atMostDegrees: measurement?.shutter?.interval?.highDegrees }),
    };
  },
  sentence: (unknown) => `${unknownShutter(unknown)}${byBlur(unknown)}`,
  remedy: ({ missing }) => remedies[missing],
  meaning:
    'What the shutter angle follows from, exposure time and frame rate, is not known, and the motion blur does not tell it ' +
    'either. Nothing is wrong with the picture by that.',
  limit: { at: noLimit, reason: 'what is not known is not judged', source: 'none is needed' },
  example: { weight: 'low', missing: 'exposure', blurReason: 'too-little-motion' },
});

function byBlur({ blurReason, atMostDegrees }: Unknown): string {
  if (atMostDegrees !== undefined)
    return ` By the motion blur it was at most ${formatBlurAngle(atMostDegrees)} (95% sure): right or short, and not long.`;
  return blurReason === undefined ? '' : ` ${silentBlur[blurReason]}`;
}

function missingExposure({ refusals, unreadTracks }: Recording): Unknown {
  const refusal = refusals.find(({ what }) => what === 'exposureSeconds');
  if (refusal !== undefined) {
    const { raw, source, reason } = refusal;
    return { missing: 'believable-exposure', refused: { raw, source, reason } };
  }
  return unreadTracks === undefined
    ? { missing: 'exposure' }
    : { missing: 'unread-track', tracks: unreadTracks };
}

function unknownShutter({ missing, tracks = [], refused }: Unknown): string {
  switch (missing) {
    case 'exposure':
      return 'No exposure time was recorded, so the shutter angle is unknown.';
    case 'frame-rate':
      return 'No usable frame rate was recorded, so the shutter angle is unknown.';
    case 'unread-track':
      return (
        `The clip comes with ${tracks.slice(0, mostTracks).join(' and ')} that Halfturn cannot read, ` +
        'so whether the exposure was recorded is not known, and neither is the shutter angle.'
      );
    case 'believable-exposure':
      return `The exposure time that was recorded (${refused?.raw}, ${refused?.source}) ${refused?.reason}, so the shutter angle is unknown.`;
  }
}
