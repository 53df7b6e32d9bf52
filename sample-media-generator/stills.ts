import type { SequencePlan, StillPlan } from './plan.ts';

const USUAL = {
  format: 'jpeg',
  width: 1600,
  height: 1200,
  orientation: 1,
  exposure: '1/640',
  fNumber: 4,
  iso: 100,
  meteredOffsetStops: 0,
  biasStops: 0,
  autoBracket: false,
  offset: { x: 0, y: 0 },
  blur: { x: 0, y: 0 },
  highlights: [],
  planted: [],
} as const;

type Particulars = Partial<Omit<StillPlan, 'file' | 'recordedAt'>>;

const EXTENSIONS = { jpeg: 'JPG', tiff: 'TIF', png: 'PNG', webp: 'WEBP' } as const;

/** `atSeconds` counts from 11:50:00 local time, eight hours behind UTC. */
function still(number: number, atSeconds: number, particulars: Particulars): StillPlan {
  const extension = EXTENSIONS[particulars.format ?? 'jpeg'];
  const local = new Date(Date.UTC(2026, 4, 14, 11, 50) + atSeconds * 1000).toISOString();
  return {
    ...USUAL,
    file: `DCIM/101_AERO/AERO${String(number).padStart(4, '0')}.${extension}`,
    recordedAt: local.replace('Z', '-08:00'),
    seed: number,
    ...particulars,
  };
}

export const STILLS: readonly StillPlan[] = [
  still(1, 0, {
    highlights: [{ shape: 'area', region: 'top', fraction: 0.06 }],
    planted: ['burnt area over about 6% of the picture'],
  }),
  still(2, 41.25, {}),
  still(3, 78.5, { orientation: 6, exposure: '1/500' }),
  still(9, 210, { format: 'tiff', width: 900, height: 600, exposure: '1/400' }),
  still(10, 236, { format: 'png', width: 900, height: 600, exposure: '1/800' }),
  still(11, 263, { format: 'webp', width: 900, height: 600, exposure: '1/1000', fNumber: 3.2 }),
];

const BRACKET_EXPOSURES = ['1/1600', '1/800', '1/400', '1/200', '1/100'];

/** Two stops either way of normal in whole stops. The brightest shots lose their highlights, as they would. */
const bracket: SequencePlan = {
  kind: 'bracket',
  intervalSeconds: 0.5,
  stills: BRACKET_EXPOSURES.map((exposure, shot) =>
    still(4 + shot, 120 + 0.5 * shot, {
      exposure,
      width: 1200,
      height: 900,
      biasStops: shot - 2,
      autoBracket: true,
      seed: 4,
      offset: { x: 3 * shot, y: -2 * shot },
    }),
  ),
};

/** Way of the ground between two shots, in pixels. The shutter is open for a tenth of the interval. */
const STEP = { x: 46, y: 12 };

const interval: SequencePlan = {
  kind: 'interval',
  intervalSeconds: 5,
  stills: Array.from({ length: 12 }, (_, shot) =>
    still(12 + shot, 400 + 5 * shot, {
      exposure: '1/2',
      fNumber: 11,
      width: 1200,
      height: 900,
      seed: 12,
      offset: { x: -STEP.x * shot, y: -STEP.y * shot },
      blur: { x: STEP.x / 10, y: STEP.y / 10 },
    }),
  ),
};

export const SEQUENCES: readonly SequencePlan[] = [bracket, interval];
