import type { Finding, FindingKind } from '../domain/finding.ts';
import type { FindingContext, FindingOf } from './findingContext.ts';
import { formatAngle, formatExposure, formatSpan, stopsInWords } from '../domain/format.ts';
import type { Remedy, RemediesFor } from './remedy.ts';
import { sequenceRemedies } from './sequenceRemedies.ts';
import { fillsClip } from './wholeClip.ts';

const nothing = (): Remedy => ({});

/**
 * Stops by which a picture at base ISO can be brightened before noise shows; each stop of ISO above base takes one
 * away. Common practice, no source.
 */
const brighteningStops = 2;

const switchOn = {
  nextTime: 'Switch on the recording of flight and camera data, if the camera has such a setting.',
};

const nextTimeRecorded: Readonly<Record<FindingOf<'shutter-unknown'>['missing'], Remedy>> = {
  exposure: switchOn,
  'frame-rate': switchOn,
  'unread-track': {
    nextTime:
      'Have the camera write its data as text (subtitles) too, if it has such a setting: that is read.',
  },
  'believable-exposure': {},
};

const remedies: RemediesFor<FindingKind> = {
  'shutter-short': ({ angleDegrees, targetSeconds, offsetStops }, context) => ({
    inTheEdit:
      context.matters === 'no'
        ? 'Nothing needs to be done.'
        : addedBlur(angleDegrees, angleDegrees / 2 ** offsetStops),
    nextTime: `Set ${formatExposure(targetSeconds)} by hand${unlessAdvised(context, ' and take the light away with a filter')}.`,
  }),
  'shutter-long': ({ targetSeconds }, context) => ({
    inTheEdit: 'Smear stays: use the stretches in which the camera moves least, or play the clip slower.',
    nextTime: `Set ${formatExposure(targetSeconds)} by hand${unlessAdvised(context, ', with a weaker filter where there was one')}.`,
  }),
  'shutter-short-by-blur': ({ highDegrees, targetDegrees }) => ({
    inTheEdit: addedBlur(highDegrees, targetDegrees),
    nextTime: 'Set the shutter by hand and take the light away with a filter.',
  }),
  'shutter-edge': nothing,
  'shutter-field-or-frame': () => ({
    nextTime: 'Record in a progressive format, without fields, where the camera has one.',
  }),
  'shutter-impossible': () => ({ inTheEdit: 'Judge the motion by eye.' }),
  'shutter-unknown': ({ missing }) => nextTimeRecorded[missing],
  'shutter-contradicted': () => ({ inTheEdit: 'Judge the motion by eye.' }),
  'highlights-clipped': (finding, context) => ({
    inTheEdit: `What is white is gone for good: ${besideWhite(finding, context)}.`,
    nextTime: `Expose for the brightest part that matters${unlessAdvised(context, ', with a stronger filter at the same shutter')}.`,
  }),
  'disc-clipped': () => ({ inTheEdit: 'Leave it white: pulled down it turns grey.' }),
  'shadows-crushed': () => ({
    inTheEdit: 'What is black stays black: lifting it shows noise and blocks only.',
  }),
  'too-bright': (finding, context) => {
    const amount = stopsInWords(finding.offsetStops);
    if (isDoubtful(finding)) return { inTheEdit: `Darken by ${amount} if it looks too bright.` };
    return {
      inTheEdit: `Darken by ${amount}; what is white stays white.`,
      nextTime: context.filterAdvised !== true ? `Take ${amount} more away with a filter.` : undefined,
    };
  },
  'too-dark': (finding, { isoOverStops = 0, filterAdvised }) => {
    const amount = stopsInWords(finding.offsetStops);
    if (isDoubtful(finding)) return { inTheEdit: `Brighten by ${amount} if it looks too dark.` };
    return {
      inTheEdit: brightening(-finding.offsetStops, isoOverStops),
      nextTime:
        filterAdvised !== true ? `Take ${amount} less away with a filter, or fly without one.` : undefined,
    };
  },
  'iso-raised': ({ baseIso, overStops }, context) => ({
    inTheEdit:
      overStops > 1 ? 'Denoise before you sharpen or brighten.' : 'Brighten with care: noise comes up.',
    nextTime: `Set ISO ${Math.round(baseIso)}${unlessAdvised(context, ` and a filter that is ${stopsInWords(overStops)} weaker, if one was on`)}.`,
  }),
  'exposure-drifts': () => ({
    inTheEdit: 'Level the brightness with keyframes; differences of blur stay.',
    nextTime: 'Lock exposure time and ISO before recording.',
  }),
  'exposure-pumps': () => ({
    inTheEdit: 'Level the brightness with keyframes between the turns, or cut around them.',
    nextTime: 'Lock exposure time and ISO before recording.',
  }),
  flicker: ({ safeExposuresSeconds = [] }) => ({
    inTheEdit: 'Use a deflicker filter before anything else is done to the clip.',
    nextTime:
      safeExposuresSeconds.length === 0
        ? undefined
        : `Set ${safeExposuresSeconds.map(formatExposure).join(' or ')} under these lamps.`,
  }),
  'range-contradicted': ({ used }) => ({
    inTheEdit: `Set the clip to ${used} range in the editing program.`,
  }),
  'sources-disagree': nothing,
  'uneven-frames': () => ({
    inTheEdit: 'Convert the clip to a constant rate before cutting it.',
  }),
  'split-part': () => ({ inTheEdit: 'Put both files one behind the other without a gap.' }),
  'slow-motion': nothing,
  'frame-rate-mix': () => ({
    inTheEdit: 'Use it for short shots, or let the editing program interpolate frames.',
    nextTime: 'Keep the whole flight at one rate or at multiples of it.',
  }),
  'filter-forgotten': () => ({
    inTheEdit: 'Correct the flight notes before you trust the advice on this recording.',
    nextTime: 'Check filter and notes before take-off.',
  }),
  'filter-contradicted': () => ({
    inTheEdit: 'Correct the flight notes if they are wrong.',
    nextTime:
      'Compare one scene with and without the filter: the difference of the exposures is its true strength.',
  }),
  ...sequenceRemedies,
  'decoded-in-part': ({ readFraction }) => ({
    inTheEdit: `Copy the file from the card again${readFraction === undefined ? '; use it up to that place' : ''}.`,
  }),
};

/** What to do about a finding. */
export function findingRemedy(finding: Finding, context: FindingContext = {}): Remedy {
  const remedy = remedies[finding.kind] as (finding: Finding, context: FindingContext) => Remedy;
  return remedy(finding, context);
}

/** A remark on the mean level of a picture may be about its subject: no filter is changed for that. */
function isDoubtful({ weight, basis }: FindingOf<'too-bright'>): boolean {
  return weight === 'low' && basis === 'picture';
}

/** What a finding says of the filter for itself. */
function unlessAdvised({ filterAdvised }: FindingContext, text: string): string {
  return filterAdvised === true ? '' : text;
}

/** An effect that draws motion out over a share of the frame time; the recorded share is there already. */
function addedBlur(angleDegrees: number, targetDegrees: number): string {
  return (
    `Motion blur can be added: set the effect to ${formatAngle(Math.round(Math.max(0, targetDegrees - angleDegrees)))} of shutter angle. ` +
    'Edges that cross each other may tear.'
  );
}

/** What is left to do where highlights are gone. */
function besideWhite(
  { spanCount, startSeconds, endSeconds }: FindingOf<'highlights-clipped'>,
  { recordingKind, durationSeconds }: FindingContext,
): string {
  const anywhere = 'crop it out or let it be white';
  if (recordingKind === 'still' || startSeconds === undefined || endSeconds === undefined) return anywhere;
  if (spanCount > 1) return 'outside the marked stretches nothing is burnt; there, let it be white';
  if (fillsClip({ startSeconds, endSeconds, durationSeconds })) return anywhere;
  return `outside ${formatSpan({ startSeconds, endSeconds })} nothing is burnt; there, let it be white`;
}

function brightening(stops: number, isoOverStops: number): string {
  const room = Math.max(0, brighteningStops - isoOverStops);
  const said = `Brighten by ${stopsInWords(stops)}`;
  if (stops <= room) return `${said}: the noise allows it.`;
  if (room <= 0) return `${said} at most, and denoise first: the ISO was high already.`;
  return `${said}, and denoise: beyond ${stopsInWords(room)} noise comes up.`;
}
