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
  'highlights-clipped': { topic: 'highlights', title: 'highlights clipped' },
  'disc-clipped': { topic: 'highlights', title: 'bright spot clipped' },
  'shadows-crushed': { topic: 'shadows', title: 'shadows crushed' },
  'too-bright': { topic: 'exposure', title: 'too bright' },
  'too-dark': { topic: 'exposure', title: 'too dark' },
  'iso-raised': { topic: 'ISO', title: 'ISO raised' },
  'exposure-drifts': { topic: 'exposure', title: 'exposure changes within the clip' },
  'sources-disagree': { topic: 'sources', title: 'sources disagree' },
  'uneven-frames': { topic: 'frames', title: 'frame times uneven' },
  'split-part': { topic: 'file', title: 'continues another file' },
  'decoded-in-part': { topic: 'file', title: 'picture read only in part' },
};
