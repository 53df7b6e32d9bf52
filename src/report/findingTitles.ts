import type { FindingKind } from '../domain/finding.ts';

interface FindingTitle {
  /** What it is about, in one word or two. */
  readonly topic: string;
  /** What it is called where there is room for a few words only. */
  readonly title: string;
}

export const findingTitles: Readonly<Record<FindingKind, FindingTitle>> = {
  'shutter-short': { topic: 'shutter', title: 'shutter too short' },
  'shutter-long': { topic: 'shutter', title: 'shutter too long' },
  'shutter-edge': { topic: 'shutter', title: 'shutter near the edge of its tolerance' },
  'shutter-impossible': { topic: 'shutter', title: 'recorded shutter impossible' },
  'shutter-unknown': { topic: 'shutter', title: 'shutter unknown' },
  'shutter-short-by-blur': { topic: 'shutter', title: 'shutter too short by its blur' },
  'shutter-contradicted': { topic: 'shutter', title: 'blur contradicts the recorded shutter' },
  'shutter-field-or-frame': { topic: 'shutter', title: 'shutter counted on field or frame' },
  'highlights-clipped': { topic: 'highlights', title: 'highlights clipped' },
  'disc-clipped': { topic: 'highlights', title: 'bright spot clipped' },
  'shadows-crushed': { topic: 'shadows', title: 'shadows crushed' },
  'too-bright': { topic: 'exposure', title: 'too bright' },
  'too-dark': { topic: 'exposure', title: 'too dark' },
  'iso-raised': { topic: 'ISO', title: 'ISO raised' },
  'exposure-drifts': { topic: 'exposure', title: 'exposure changes within the clip' },
  'exposure-pumps': { topic: 'exposure', title: 'exposure goes up and down' },
  flicker: { topic: 'flicker', title: 'flicker' },
  'range-contradicted': { topic: 'range', title: 'signal range not as the file says' },
  'sources-disagree': { topic: 'sources', title: 'sources disagree' },
  'uneven-frames': { topic: 'frames', title: 'frame times uneven' },
  'split-part': { topic: 'file', title: 'continues another file' },
  'slow-motion': { topic: 'frames', title: 'slow or fast motion' },
  'frame-rate-mix': { topic: 'frames', title: 'frame rate differs from the flight' },
  'filter-forgotten': { topic: 'filter', title: 'filter probably not on' },
  'filter-contradicted': { topic: 'filter', title: 'filter contradicted by the light' },
  'bracket-frame-missing': { topic: 'bracket', title: 'bracket frame missing' },
  'bracket-uneven': { topic: 'bracket', title: 'bracket steps uneven' },
  'bracket-settings-change': { topic: 'bracket', title: 'settings change within the bracket' },
  'bracket-highlights-lost': { topic: 'bracket', title: 'bracket does not hold the highlights' },
  'bracket-shadows-lost': { topic: 'bracket', title: 'bracket does not lift the shadows' },
  'series-exposure-short': { topic: 'series', title: 'exposure short for the interval' },
  'series-frames-dropped': { topic: 'series', title: 'frames of the series missing' },
  'series-exposure-steps': { topic: 'series', title: 'exposure steps in the series' },
  'series-highlights-clipped': { topic: 'series', title: 'highlights clipped in the series' },
  'series-too-bright': { topic: 'series', title: 'series too bright' },
  'series-too-dark': { topic: 'series', title: 'series too dark' },
  'decoded-in-part': { topic: 'file', title: 'picture read only in part' },
};
