import { momentAt, type PlantedClip } from './plan.ts';

const USUAL = {
  rate: '25',
  seconds: 1.2,
  exposure: '1/50',
  iso: 100,
  fNumber: 2.8,
  meteredOffsetStops: 0,
  levelStops: 0,
  panPixelsPerFrame: 3,
  fitted: 'ND16',
  planted: [],
} as const;

type Particulars = Partial<Omit<PlantedClip, 'file' | 'recordedAt'>> & {
  /** Taken out of what is usual. */
  readonly without?: readonly ('exposure' | 'meteredOffsetStops' | 'fitted')[];
};

const particulars: readonly Particulars[] = [
  {},
  {},
  {},
  {},
  {},
  {},
  // Half the time at twice the rate behind half the filter: the light is the same.
  { rate: '50', exposure: '1/100', fitted: 'ND8' },
  { rate: '25', captureRate: '100', exposure: '1/200', fitted: 'ND4', planted: ['slow-motion'] },
  { exposure: '1/800', fitted: 'none', planted: ['shutter-short'] },
  { exposure: '1/100', fitted: 'ND8', planted: ['shutter-short'] },
  { exposure: '1/60', planted: ['shutter-edge'] },
  { exposure: '1/25', fitted: 'ND32', planted: ['shutter-long'] },
  { exposure: '1/20', without: ['fitted'], planted: ['shutter-impossible'] },
  // Nothing moves, so the motion blur does not tell it either.
  { without: ['exposure', 'fitted'], panPixelsPerFrame: 0, planted: ['shutter-unknown'] },
  { patch: { shape: 'area', tone: 'white', fraction: 0.08 }, planted: ['highlights-clipped'] },
  {
    patch: { shape: 'area', tone: 'white', fraction: 0.03, startSeconds: 0.4, endSeconds: 0.8 },
    planted: ['highlights-clipped'],
  },
  { patch: { shape: 'disc', tone: 'white', fraction: 0.015 }, planted: ['disc-clipped'] },
  { patch: { shape: 'area', tone: 'black', fraction: 0.06 }, planted: ['shadows-crushed'] },
  // 0.7 over by the meter: the scene is as bright, the shutter is right, the filter is that much weaker.
  { meteredOffsetStops: 0.7, levelStops: 0.7, fitted: 'D0.99', planted: ['too-bright'] },
  { meteredOffsetStops: -1.3, levelStops: -1.3, fitted: 'D1.6', planted: ['too-dark'] },
  { without: ['meteredOffsetStops'], levelStops: -2, fitted: 'ND64', planted: ['too-dark'] },
  { iso: 400, fitted: 'ND64', planted: ['iso-raised'] },
  // From 1/71 to 1/35 s: a stop in all, while the usual exposure is on target.
  { seconds: 2, exposure: '1/71', exposureAtEnd: '1/35', planted: ['exposure-drifts'] },
  { contradiction: '1/80', planted: ['sources-disagree'] },
  { rate: '30', exposure: '1/60', planted: ['frame-rate-mix'] },
  { seconds: 3, leaveOutEvery: 7, planted: ['uneven-frames'] },
  // Notes and light differ by the whole filter.
  { exposure: '1/800', planted: ['shutter-short', 'filter-forgotten'] },
  { fitted: 'none', planted: ['filter-contradicted'] },
  // Without a meter the level of the picture counts: of the part that is not black.
  { without: ['meteredOffsetStops'], cover: 'bars', planted: ['black-frame'] },
  { without: ['meteredOffsetStops'], cover: 'circle', planted: ['black-frame'] },
  { without: ['meteredOffsetStops'], seconds: 2, fadeInSeconds: 0.5 },
  {
    without: ['exposure', 'fitted'],
    panPixelsPerFrame: 0,
    cover: 'title',
    planted: ['not-a-scene', 'shutter-unknown'],
  },
  { patch: { shape: 'area', tone: 'blue', fraction: 0.14 }, planted: ['channel-clipped'] },
];

export const CLIPS: readonly PlantedClip[] = particulars.map(({ without = [], ...given }, index) => {
  const clip = {
    ...USUAL,
    ...given,
    file: `DCIM/200_AERO/CLIP${String(index + 1).padStart(4, '0')}.MP4`,
    recordedAt: momentAt(20 * index),
  };
  return Object.fromEntries(
    Object.entries(clip).filter(([name]) => !(without as readonly string[]).includes(name)),
  ) as unknown as PlantedClip;
});
