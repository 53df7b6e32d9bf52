import type { FindingKind } from '../domain/finding.ts';
import type { RemediesFor } from './remedy.ts';
import { formatExposure, stopsInWords } from '../domain/format.ts';

type SequenceKind = Extract<FindingKind, `bracket-${string}` | `series-${string}`>;

/** What to do about findings in brackets and interval series. */
export const sequenceRemedies: RemediesFor<SequenceKind> = {
  'bracket-frame-missing': () => ({
    inTheEdit: 'Merge what is there; the missing range has less detail or more noise.',
    nextTime: 'Wait until the camera has stored the whole bracket before you move on or press again.',
  }),
  'bracket-uneven': () => ({ inTheEdit: 'Merge by the recorded exposure times, not by one step size.' }),
  'bracket-settings-change': () => ({
    inTheEdit: 'Merge without the frames that differ, or accept seams.',
    nextTime: 'Set aperture and ISO by hand, so that the bracket changes the exposure time only.',
  }),
  'bracket-highlights-lost': () => ({
    inTheEdit: 'What is white there is gone for good.',
    nextTime: 'Shift the whole bracket darker, or take more frames.',
  }),
  'bracket-shadows-lost': () => ({
    inTheEdit: 'What is black there stays black.',
    nextTime: 'Shift the whole bracket brighter, or take more frames.',
  }),
  'series-exposure-short': ({ targetSeconds }) => ({
    inTheEdit: 'Blend neighbouring frames, or add motion blur by an effect.',
    nextTime: `Expose for ${formatExposure(targetSeconds)}, with a filter that takes the added light away.`,
  }),
  'series-frames-dropped': () => ({
    inTheEdit: 'Let the editing program make the missing frames from their neighbours.',
    nextTime: 'Take a longer interval or smaller files: the camera did not keep up, or lost its trigger.',
  }),
  'series-exposure-steps': ({ largestStops }) => ({
    inTheEdit: `Even the brightness out, by up to ${stopsInWords(largestStops)} a frame, before you render.`,
    nextTime: 'Set exposure time, ISO, aperture and white balance by hand.',
  }),
  'series-highlights-clipped': () => ({
    inTheEdit: 'What is white is gone for good.',
    nextTime: 'Expose for the brightest frame to come: the light changes during a series.',
  }),
  'series-too-bright': ({ offsetStops }) => ({
    inTheEdit: `Darken by ${stopsInWords(offsetStops)}; what is white stays white.`,
    nextTime: `Take ${stopsInWords(offsetStops)} more away with a filter.`,
  }),
  'series-too-dark': ({ offsetStops }) => ({
    inTheEdit: `Brighten by ${stopsInWords(offsetStops)}; averaging frames lowers the noise.`,
    nextTime: `Take ${stopsInWords(offsetStops)} less away with a filter.`,
  }),
};
