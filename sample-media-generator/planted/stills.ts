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

const METRES_PER_DEGREE = 111_320;

/** A place so many metres from the start. */
function placeAt(north: number, east = 0): Particulars {
  const latitude = -47.3 + north / METRES_PER_DEGREE;
  return { latitude, longitude: -126.8 + east / (METRES_PER_DEGREE * Math.cos((latitude * Math.PI) / 180)) };
}

/** Somebody walks along a shore, with a picture every four seconds: no series of any kind. */
const WALK = Array.from({ length: 9 }, (_, shot) => still(600 + 4 * shot, placeAt(5 * shot, 400)));

export const STILLS: readonly PlantedStill[] = [
  ...WALK,
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
  /** Before which shot a file number is not there; the number of shots: after the last. */
  readonly lostBefore?: number;
  readonly change?: (biasStops: number) => Particulars;
}

let brackets = 0;

function bracket(
  biases: readonly number[],
  { planted = [], lostBefore, change }: BracketFaults = {},
): PlantedSequence {
  const startsAt = 900 + 20 * brackets;
  brackets += 1;
  const stills = biases.map((biasStops, shot) => {
    if (shot === lostBefore) count += 1;
    return still(startsAt + 0.4 * shot, {
      biasStops,
      levelStops: biasStops,
      exposure: EXPOSURES[String(biasStops)]!,
      ...change?.(biasStops),
    });
  });
  if (lostBefore === stills.length) count += 1;
  return { kind: 'bracket', stills, planted };
}

const burnt = { patch: { shape: 'area', tone: 'white', fraction: 0.06 } } as const;
const black = { patch: { shape: 'area', tone: 'black', fraction: 0.05 } } as const;

const BRACKETS: readonly PlantedSequence[] = [
  bracket([-2, -1, 0, 1, 2]),
  bracket([0, -1, 1]),
  bracket([-2, -1, 1, 2], { planted: ['bracket-frame-missing'], lostBefore: 2 }),
  bracket([-2, -1, 0, 1], { planted: ['bracket-frame-missing'], lostBefore: 4 }),
  bracket([-1, 0, 1, 2], { planted: ['bracket-frame-missing'], lostBefore: 0 }),
  bracket([-3, -1, 0, 1, 3], { planted: ['bracket-uneven'] }),
  // The brighter frame by the opening instead of the time: two stops from f/4 to f/2.
  bracket([-2, 0, 2], {
    planted: ['bracket-settings-change'],
    change: (bias) => (bias === 2 ? { exposure: '1/400', fNumber: 2 } : {}),
  }),
  bracket([-1, 0, 1], {
    planted: ['bracket-settings-change'],
    change: (bias) => (bias === 1 ? { exposure: '1/400', iso: 200 } : {}),
  }),
  bracket([-2, -1, 0, 1, 2], { planted: ['bracket-highlights-lost'], change: () => burnt }),
  bracket([-1, 0, 1], { planted: ['bracket-shadows-lost'], change: () => black }),
  // As the file numbers run on, these four are all that there were.
  bracket([-2, -1, 0, 1]),
];

/** By ISO alone, from the hand: seconds apart, the place a little off each time. */
const ISO_BRACKET: PlantedSequence = {
  kind: 'bracket',
  stills: [100, 200, 400, 800, 1600].map((iso, shot) =>
    still(1200 + 5 * shot, {
      iso,
      exposure: '1/1600',
      levelStops: shot - 2,
      isManual: true,
      headingDegrees: 90 + 2 * shot,
      ...placeAt(0.4 * shot, 800),
    }),
  ),
  planted: ['bracket-settings-change'],
};

interface SeriesFaults extends Particulars {
  readonly intervalSeconds?: number;
  readonly frames?: number;
  /** Metres northwards between two frames. */
  readonly stepMetres?: number;
  readonly missing?: readonly number[];
  readonly isNoted?: boolean;
  readonly each?: (shot: number) => Particulars;
}

let series = 0;

function interval(planted: readonly string[], faults: SeriesFaults): PlantedSequence {
  const { intervalSeconds = 2, frames = 9, stepMetres = 6, missing = [], isNoted, each, ...all } = faults;
  const startsAt = 1300 + 90 * series;
  series += 1;
  const first = count;
  const shots = Array.from({ length: frames }, (_, shot) => shot).filter((shot) => !missing.includes(shot));
  const stills = shots.map((shot) => {
    // The camera counted what is missing.
    count = first + shot;
    return still(startsAt + intervalSeconds * shot, {
      // f/8 and a second behind a factor of 100: EV 6 + 6.64.
      exposure: '1',
      fNumber: 8,
      fitted: 'ND100',
      ...placeAt(stepMetres * shot),
      ...all,
      ...each?.(shot),
    });
  });
  return { kind: 'interval', stills, planted, isNoted };
}

const SERIES: readonly PlantedSequence[] = [
  interval([], {}),
  interval([], { stepMetres: 0 }),
  // Nothing in the pictures says that it was meant; the notes do.
  interval(['series-exposure-short'], { exposure: '1/400', fNumber: 4, fitted: 'none', isNoted: true }),
  // Half a second of five shows some blur: a remark.
  interval(['series-exposure-short'], { exposure: '1/2', fNumber: 5.6, intervalSeconds: 5, frames: 7 }),
  interval(['series-frames-dropped'], { missing: [4, 5], frames: 11 }),
  interval(['series-exposure-steps'], {
    each: (shot) => (shot % 3 === 1 ? { exposure: '1.3', levelStops: 0.38 } : {}),
  }),
  interval(['series-highlights-clipped'], { each: (shot) => (shot > 5 ? burnt : {}) }),
  interval(['series-too-dark'], { levelStops: -2, fitted: 'D2.6' }),
  // A remark: flecks leave what lies between them.
  interval(['series-highlights-clipped'], {
    each: (shot) => (shot > 5 ? { patch: { shape: 'specks', tone: 'white', fraction: 0.03 } } : {}),
  }),
  // The longer exposure that makes motion flow brings the light that is missing.
  interval(['series-exposure-short', 'series-too-dark'], {
    exposure: '1/4',
    levelStops: -2,
    isNoted: true,
  }),
];

/** 12 m between pictures at 8 m/s and 60 m, three lines of four; 240 pixels see 90 m of the ground. */
function mappingFlight(
  startsAt: number,
  planted: readonly string[],
  each: (shot: number) => Particulars,
): PlantedSequence {
  const stills = Array.from({ length: 12 }, (_, shot) => {
    const [line, onLine] = [Math.floor(shot / 4), shot % 4];
    const north = 12 * (line % 2 === 0 ? onLine : 3 - onLine);
    return still(startsAt + 1.5 * shot + 6 * line, {
      ...placeAt(north, 20 * line),
      heightMetres: 60,
      pitchDegrees: -90,
      equivalentFocalLengthMm: 24,
      ...each(shot),
    });
  });
  return { kind: 'mapping', stills, planted };
}

const MAPPING: readonly PlantedSequence[] = [
  mappingFlight(2400, [], () => ({})),
  // f/8 and 1/8 s behind 3.65 stops: the ground moves by 1 m, 2.7 pixels.
  mappingFlight(2600, ['mapping-blur'], () => ({ exposure: '1/8', fNumber: 8, fitted: 'D1.1' })),
  mappingFlight(2800, ['exposure-uneven'], (shot) =>
    shot % 3 === 2 ? { exposure: '1/200', levelStops: 1 } : {},
  ),
];

const PANORAMA: PlantedSequence = {
  kind: 'panorama',
  stills: Array.from({ length: 6 }, (_, shot) =>
    still(3000 + 3 * shot, { ...placeAt(0), headingDegrees: (300 + 30 * shot) % 360 }),
  ),
  planted: [],
};

const BURST: PlantedSequence = {
  kind: 'burst',
  stills: Array.from({ length: 6 }, (_, shot) => still(3100 + 0.2 * shot, {})),
  planted: [],
};

export const SEQUENCES: readonly PlantedSequence[] = [
  ...BRACKETS,
  ISO_BRACKET,
  ...SERIES,
  ...MAPPING,
  PANORAMA,
  BURST,
];
