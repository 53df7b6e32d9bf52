import { momentAt, type PlantedSequence, type PlantedStill } from './plan.ts';

/** f/4 and 1/400 s at ISO 100 without a filter: EV 12.6, like the clips. */
const USUAL = {
  exposure: '1/400',
  fNumber: 4,
  iso: 100,
  biasStops: 0,
  levelStops: 0,
  fitted: 'none',
  planted: [],
} as const;

type Particulars = Partial<Omit<PlantedStill, 'file' | 'recordedAt'>>;

let count = 0;

function still(atSeconds: number, particulars: Particulars): PlantedStill {
  count += 1;
  return {
    ...USUAL,
    file: `DCIM/201_AERO/AERO${String(count).padStart(4, '0')}.${particulars.isRaster ? 'TIF' : 'JPG'}`,
    recordedAt: momentAt(atSeconds),
    ...particulars,
  };
}

export const STILLS: readonly PlantedStill[] = [
  still(700, {}),
  still(713, {}),
  still(741, {}),
  still(752, { patch: { shape: 'area', tone: 'white', fraction: 0.07 }, planted: ['highlights-clipped'] }),
  still(789, { levelStops: -2, exposure: '1/1600', planted: ['too-dark'] }),
  still(801, { iso: 800, exposure: '1/3200', planted: ['iso-raised'] }),
  still(838, { patch: { shape: 'area', tone: 'red', fraction: 0.12 }, planted: ['channel-clipped'] }),
  // A remark: flecks leave what lies between them.
  still(849, { patch: { shape: 'specks', tone: 'white', fraction: 0.03 }, planted: ['highlights-clipped'] }),
  still(858, { cover: 'circle', planted: ['black-frame'] }),
  still(867, { isRaster: true, planted: ['not-a-scene'] }),
];

/** Exposure times of a bracket around 1/400 s, by the bias in stops. */
const EXPOSURES: Readonly<Record<string, string>> = {
  '-3': '1/3200',
  '-2': '1/1600',
  '-1': '1/800',
  '0': '1/400',
  '1': '1/200',
  '2': '1/100',
  '3': '1/50',
};

interface BracketFaults {
  readonly planted?: readonly string[];
  readonly change?: (biasStops: number) => Particulars;
}

let brackets = 0;

function bracket(biases: readonly number[], { planted = [], change }: BracketFaults = {}): PlantedSequence {
  const startsAt = 900 + 20 * brackets;
  brackets += 1;
  const stills = biases.map((biasStops, shot) =>
    still(startsAt + 0.4 * shot, {
      biasStops,
      levelStops: biasStops,
      exposure: EXPOSURES[String(biasStops)]!,
      ...change?.(biasStops),
    }),
  );
  return { kind: 'bracket', stills, planted };
}

const burnt = { patch: { shape: 'area', tone: 'white', fraction: 0.06 } } as const;
const black = { patch: { shape: 'area', tone: 'black', fraction: 0.05 } } as const;

const BRACKETS: readonly PlantedSequence[] = [
  bracket([-2, -1, 0, 1, 2]),
  bracket([0, -1, 1]),
  bracket([-2, -1, 1, 2], { planted: ['bracket-frame-missing'] }),
  bracket([-2, -1, 0, 1], { planted: ['bracket-frame-missing'] }),
  bracket([-1, 0, 1, 2], { planted: ['bracket-frame-missing'] }),
  bracket([-3, -1, 0, 1, 3], { planted: ['bracket-uneven'] }),
  // The brighter frame by the opening instead of the time: two stops from f/4 to f/2.
  bracket([-2, 0, 2], {
    planted: ['bracket-settings-change'],
    change: (bias) => (bias === 2 ? { exposure: '1/400', fNumber: 2 } : {}),
  }),
  bracket([-1, 0, 1], {
    planted: ['bracket-settings-change'],
    // ISO 200 is raised above base as well, in the frame itself.
    change: (bias) => (bias === 1 ? { exposure: '1/400', iso: 200, planted: ['iso-raised'] } : {}),
  }),
  bracket([-2, -1, 0, 1, 2], { planted: ['bracket-highlights-lost'], change: () => burnt }),
  bracket([-1, 0, 1], { planted: ['bracket-shadows-lost'], change: () => black }),
];

interface SeriesFaults extends Particulars {
  readonly intervalSeconds?: number;
  readonly frames?: number;
  /** Metres northwards between two frames. */
  readonly stepMetres?: number;
  readonly missing?: readonly number[];
  readonly each?: (shot: number) => Particulars;
}

const METRES_PER_DEGREE = 111_320;
let series = 0;

function interval(planted: readonly string[], faults: SeriesFaults): PlantedSequence {
  const { intervalSeconds = 2, frames = 9, stepMetres = 6, missing = [], each, ...all } = faults;
  const startsAt = 1300 + 90 * series;
  series += 1;
  const shots = Array.from({ length: frames }, (_, shot) => shot).filter((shot) => !missing.includes(shot));
  const stills = shots.map((shot) =>
    still(startsAt + intervalSeconds * shot, {
      // f/8 and a second behind a factor of 100: EV 6 + 6.64.
      exposure: '1',
      fNumber: 8,
      fitted: 'ND100',
      latitude: -47.3 + (stepMetres * shot) / METRES_PER_DEGREE,
      longitude: -126.8,
      ...all,
      ...each?.(shot),
    }),
  );
  return { kind: 'interval', stills, planted };
}

const SERIES: readonly PlantedSequence[] = [
  interval([], {}),
  interval([], { stepMetres: 0 }),
  interval(['series-exposure-short'], { exposure: '1/400', fNumber: 4, fitted: 'none' }),
  // Half a second of five shows some blur: a remark.
  interval(['series-exposure-short'], { exposure: '1/2', fNumber: 5.6, intervalSeconds: 5, frames: 7 }),
  interval(['series-frames-dropped'], { missing: [4, 5], frames: 11 }),
  interval(['series-exposure-steps'], {
    each: (shot) => (shot % 3 === 1 ? { exposure: '1.3', levelStops: 0.38 } : {}),
  }),
  interval(['series-highlights-clipped'], { each: (shot) => (shot > 5 ? burnt : {}) }),
  interval(['series-too-dark'], { levelStops: -2, fitted: 'D2.6' }),
];

export const SEQUENCES: readonly PlantedSequence[] = [...BRACKETS, ...SERIES];
