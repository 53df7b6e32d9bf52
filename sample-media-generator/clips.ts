import type { Carrier, ClipPlan } from './plan.ts';

/** What most clips share. The flight is on the morning of 14 May 2026 in an empty part of the southern ocean. */
const USUAL = {
  seconds: 2,
  encoding: 'h264',
  width: 960,
  height: 540,
  rotationDegrees: 0,
  fNumber: 2.8,
  iso: 100,
  meteredOffsetStops: 0,
  highlights: [],
  planted: [],
} as const;

const pairs: Carrier = { in: 'subrip-sidecar', arrangement: 'pairs' };
const lines: Carrier = { in: 'subrip-sidecar', arrangement: 'lines' };
const list: Carrier = { in: 'subrip-sidecar', arrangement: 'list' };
const xmpBeside: Carrier = { in: 'xmp-sidecar' };
const xmpInside: Carrier = { in: 'xmp-embedded' };

type Particulars = Pick<ClipPlan, 'rate' | 'exposure' | 'carriers'> &
  Partial<Omit<ClipPlan, 'motion' | 'recordedAt' | 'file'>>;

function clip(number: number, pan: readonly [number, number], particulars: Particulars): ClipPlan {
  const folder = number <= 13 ? '100_AERO' : '101_AERO';
  return {
    ...USUAL,
    file: `DCIM/${folder}/CLIP${String(number).padStart(4, '0')}.MP4`,
    motion: { dxPixelsPerFrame: pan[0], dyPixelsPerFrame: pan[1] },
    recordedAt: new Date(Date.UTC(2026, 4, 14, 19, 2 * number, 13)).toISOString().replace('.000Z', 'Z'),
    ...particulars,
  };
}

export const CLIPS: readonly ClipPlan[] = [
  clip(1, [9, 2], { rate: '24', exposure: '1/50', carriers: [{ in: 'text-track', arrangement: 'pairs' }] }),
  clip(2, [7, -3], { rate: '24000/1001', exposure: '1/48', carriers: [xmpInside] }),
  clip(3, [10, 4], {
    rate: '25',
    exposure: '1/800',
    carriers: [pairs],
    planted: ['shutter four stops short of 180 degrees'],
  }),
  clip(4, [-8, 1.5], {
    rate: '30000/1001',
    exposure: '1/60',
    carriers: [lines],
    highlights: [{ shape: 'disc', region: 'corner', fraction: 0.008 }],
    planted: ['clipped sun disc all through'],
  }),
  clip(5, [6.5, -6], {
    rate: '30',
    exposure: '1/2000',
    carriers: [xmpBeside],
    highlights: [{ shape: 'area', region: 'top', fraction: 0.18, startSeconds: 0.5, endSeconds: 1.4 }],
    planted: ['shutter far too short', 'burnt area from 0.5 s to 1.4 s'],
  }),
  clip(6, [-9, -3], {
    rate: '24',
    exposure: '1/60',
    carriers: [list],
    planted: ['shutter on, but near the edge of a third of a stop'],
  }),
  clip(7, [5, 3], {
    rate: '60000/1001',
    exposure: '1/8000',
    carriers: [xmpBeside],
    planted: ['shutter far too short'],
  }),
  clip(8, [7, 2], { rate: '50', exposure: '1/60', carriers: [pairs], planted: ['shutter too long'] }),
  clip(9, [8, 0], {
    rate: '30',
    exposure: '1/25',
    carriers: [xmpInside],
    planted: ['recorded exposure is longer than the frame: impossible'],
  }),
  clip(10, [8.4, -1], {
    rate: '24',
    seconds: 4,
    exposure: '1/400',
    exposureAtEnd: '1/100',
    carriers: [{ in: 'subrip-sidecar', arrangement: 'pairs', everyFrame: true }],
    planted: ['exposure drifts from 1/400 s to 1/100 s', 'shutter too short throughout'],
  }),
  clip(11, [-7, 5], {
    rate: '30',
    exposure: '1/120',
    iso: 400,
    fNumber: 5.6,
    carriers: [{ in: 'text-track', arrangement: 'lines' }],
    planted: ['shutter one stop short', 'ISO two stops above base'],
  }),
  clip(12, [6, 6], {
    rate: '30',
    exposure: '1/60',
    meteredOffsetStops: 0.7,
    carriers: [lines],
    planted: ['overexposed by 0.7 stop'],
  }),
  clip(13, [-10, 2], {
    rate: '25',
    exposure: '1/50',
    meteredOffsetStops: -1.3,
    carriers: [list],
    planted: ['underexposed by 1.3 stops'],
  }),
  clip(14, [11, -2], {
    rate: '24000/1001',
    exposure: '1/200',
    encoding: 'hevc-10',
    carriers: [xmpBeside],
    highlights: [{ shape: 'area', region: 'left', fraction: 0.09, startSeconds: 0.25 }],
    planted: ['shutter two stops short', 'burnt area from 0.25 s on'],
  }),
  clip(15, [9, 3], {
    rate: '30000/1001',
    exposure: '1/60',
    encoding: 'hevc-10-hlg',
    carriers: [{ in: 'text-track', arrangement: 'list' }],
    highlights: [{ shape: 'area', region: 'corner', fraction: 0.03 }],
    planted: ['burnt area all through'],
  }),
  clip(16, [8, -5], {
    rate: '25',
    exposure: '1/50',
    encoding: 'h264-full-range',
    carriers: [lines],
    highlights: [{ shape: 'area', region: 'left', fraction: 0.05 }],
    planted: ['burnt area all through'],
  }),
  clip(17, [12, 3], {
    rate: '30',
    exposure: '1/240',
    rotationDegrees: 90,
    carriers: [xmpInside],
    planted: ['shutter two stops short'],
  }),
  clip(18, [6, 1], { rate: '120', seconds: 1, exposure: '1/240', carriers: [pairs] }),
  clip(19, [15, 4], {
    rate: '24',
    exposure: '1/96',
    carriers: [],
    planted: ['no exposure recorded anywhere', 'shutter one stop short'],
  }),
  clip(20, [10, -4], {
    rate: '25',
    width: 1280,
    height: 720,
    exposure: '1/100',
    contradiction: '1/120',
    carriers: [xmpBeside, pairs],
    planted: ['XMP sidecar says 1/100 s, SubRip sidecar says 1/120 s', 'shutter one stop short'],
  }),
  clip(21, [13, 5], {
    rate: '25',
    exposure: '1/50',
    carriers: [],
    planted: ['no exposure recorded anywhere'],
  }),
];

/** Encoded like the others, then cut in half: its index, at the end, is lost. */
export const TRUNCATED_CLIP: ClipPlan = clip(22, [5, 2], {
  rate: '25',
  seconds: 1,
  exposure: '1/50',
  carriers: [],
});

export const EMPTY_CLIP = 'DCIM/101_AERO/CLIP0023.MP4';

/** The clip that also has a low-resolution copy and a thumbnail file. */
export const CLIP_WITH_PROXY = 'DCIM/100_AERO/CLIP0001.MP4';
