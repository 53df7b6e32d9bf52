import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { FactValues, Recording } from '../../src/domain/recording.ts';
import { groupSequences } from '../../src/reading/sequences.ts';
import { still } from '../findings/subject.ts';

let count = 0;

/** A still that many seconds after nine. */
function shot(atSeconds: number, values: Partial<FactValues> = {}): Recording {
  count += 1;
  const recordedAt = new Date(Date.UTC(2026, 5, 2, 9) + atSeconds * 1000).toISOString();
  const facts = { recordedAt, exposureSeconds: 1 / 400, iso: 100, fNumber: 4, width: 4000, ...values };
  return { ...still(facts), path: `S${String(count).padStart(4, '0')}.JPG` };
}

const biased = (atSeconds: number, biases: readonly number[], pause = 0.4) =>
  biases.map((bias, at) =>
    shot(atSeconds + pause * at, { exposureBiasStops: bias, exposureSeconds: 2 ** bias / 400 }),
  );
const every = (atSeconds: number, interval: number, frames: number, values: Partial<FactValues> = {}) =>
  Array.from({ length: frames }, (_, at) => shot(atSeconds + interval * at, values));
const shape = (recordings: readonly Recording[]) =>
  groupSequences(recordings).map(({ kind, members }) => `${kind} ${members.length}`);

describe('brackets', () => {
  test.each([
    ['three', [0, -1, 1], 'bracket 3'],
    ['five', [-2, -1, 0, 1, 2], 'bracket 5'],
    ['seven in thirds', [-1, -0.67, -0.33, 0, 0.33, 0.67, 1], 'bracket 7'],
    ['four of five', [-2, -1, 0, 1], 'bracket 4'],
  ])('%s', (_, biases, expected) => expect(shape(biased(0, biases))).toEqual([expected]));

  test('one after the other are two', () => {
    expect(shape([...biased(0, [-1, 0, 1]), ...biased(1.5, [-1, 0, 1])])).toEqual(['bracket 3', 'bracket 3']);
  });

  test('without a recorded bias need a wide span and one framing', () => {
    const unbiased = (spans: readonly number[], values: (at: number) => Partial<FactValues> = () => ({})) =>
      spans.map((stops, at) => shot(0.4 * at, { exposureSeconds: 2 ** stops / 400, ...values(at) }));
    expect(shape(unbiased([-2, 0, 2]))).toEqual(['bracket 3']);
    expect(shape(unbiased([-0.5, 0, 0.5]))).toEqual([]);
    expect(shape(unbiased([-2, 0, 2], (at) => ({ headingDegrees: (355 + 90 * at) % 360 })))).toEqual([]);
    expect(shape(unbiased([-2, 0, 2], (at) => ({ headingDegrees: (358 + 2 * at) % 360 })))).toEqual([
      'bracket 3',
    ]);
  });

  test('are no frames that lie apart, of two cameras, or alike', () => {
    expect(shape(biased(0, [-1, 0, 1], 70))).toEqual([]);
    expect(shape(biased(0, [-1, 0, 1]).map((one, at) => withCamera(one, `camera ${at}`)))).toEqual([]);
    expect(shape(biased(0, [0, 0, 0]))).toEqual(['burst 3']);
  });

  const withCamera = (recording: Recording, camera: string): Recording => ({
    ...recording,
    facts: { ...recording.facts, camera: { value: camera, source: 'test' } },
  });
});

/** Metres northwards and eastwards of the start. */
const place = (north: number, east = 0): Partial<FactValues> => ({
  latitude: -47.3 + north / 111_320,
  longitude: -126.8 + east / (111_320 * Math.cos((47.3 * Math.PI) / 180)),
});

describe('brackets as they are shot', () => {
  const manual = { exposureProgram: 'manual', exposureBiasStops: 0 };
  const byHand = (
    stops: readonly number[],
    pause: number,
    values: (at: number) => Partial<FactValues> = () => manual,
  ) => stops.map((each, at) => shot(pause * at, { exposureSeconds: 2 ** each / 400, ...values(at) }));

  test('by hand may take ten seconds a frame, in any order', () => {
    expect(shape(byHand([0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15], 5))).toEqual(['bracket 16']);
    expect(shape(byHand([0, -1, -2, 1, 2], 9))).toEqual(['bracket 5']);
    expect(shape(byHand([0, 2, 4], 10))).toEqual(['bracket 3']);
    expect(shape(byHand([0, 2, 3], 12))).toEqual([]);
  });

  test('may pause for a minute where an even ladder goes on, from the last exposure or from an end', () => {
    expect(shape(byHand([0, 1, 2], 50))).toEqual(['bracket 3']);
    expect(shape(byHand([0, 1, 2], 70))).toEqual([]);
    expect(shape(byHand([0, 1, 3], 50))).toEqual([]);
    expect(shape(byHand([0, -1, -2, 1, 2], 50))).toEqual(['bracket 5']);
    expect(shape(byHand([0, -1, -2, 3, 5], 50))).toEqual(['bracket 3']);
    // What a camera takes by itself goes on with nothing.
    const next = biased(20, [-2, -1, 1, 2]);
    expect(shape([...biased(0, [0, -1, 1]), ...next])).toEqual(['bracket 3', 'bracket 4']);
  });

  test('count their pauses from the end of an exposure', () => {
    const night = [8, 4, 2, 1].reduce<readonly Recording[]>((shots, exposureSeconds) => {
      const at = shots.length * 14;
      return [...shots, shot(at, { exposureSeconds, ...manual })];
    }, []);
    expect(shape(night.slice(0, 3))).toEqual(['bracket 3']);
  });

  test('by ISO, or by shutter and ISO, are told as well', () => {
    expect(shape(byHand([0, 0, 0, 0], 4, (at) => ({ ...manual, iso: 100 * 2 ** at })))).toEqual([
      'bracket 4',
    ]);
    expect(
      shape(byHand([0, 1, 1, 1], 4, (at) => ({ ...manual, iso: 100 * 2 ** Math.max(0, at - 1) }))),
    ).toEqual(['bracket 4']);
  });

  test('with automatic exposure need a bias or a long and regular row: light changes from view to view', () => {
    const automatic = { exposureProgram: 'normal program', exposureBiasStops: 0 };
    expect(shape(byHand([0, 1, 2], 5, () => automatic))).toEqual([]);
    expect(shape(byHand([0, 1, 2, 3, 4], 5, () => automatic))).toEqual(['bracket 5']);
    expect(shape(byHand([0, 1.7, -0.4, 3, 0.6], 5, () => automatic))).toEqual([]);
    const dialled = [2, 1, 0, -1, -2];
    expect(shape(byHand(dialled, 5, (at) => ({ ...automatic, exposureBiasStops: dialled[at]! })))).toEqual([
      'bracket 5',
    ]);
    const against = byHand([0, 1, 2], 5, (at) => ({ ...automatic, exposureBiasStops: 1 - at }));
    expect(shape(against)).toEqual([]);
  });

  test('of several rounds are several, and stand a loose still before them', () => {
    const rounds = [0, 30, 60].flatMap((at) => biased(at, [0, -1, 1]));
    expect(shape(rounds)).toEqual(['bracket 3', 'bracket 3', 'bracket 3']);
    const loose = shot(0, { exposureSeconds: 1 / 77 });
    expect(shape([loose, ...byHand([0, 2, 4], 0.5).map((each, at) => retimed(each, 8 + 0.5 * at))])).toEqual([
      'bracket 3',
    ]);
  });

  test('are no pictures that several lenses took at once', () => {
    const lenses = [0, 1, 2, 3].map((stops, at) =>
      shot(0.004 * at, { exposureSeconds: 2 ** stops / 400, ...place(0) }),
    );
    expect(shape(lenses)).toEqual([]);
  });

  test('know the file numbers that are not there', () => {
    const numbers = (all: readonly Recording[]) =>
      groupSequences(all).map((each) => each.kind === 'bracket' && each.skippedNumbers);
    const frames = biased(0, [-2, -1, 1, 2]).map((each, at) => ({ ...each, path: `AERO00${10 + at}.JPG` }));
    expect(numbers(frames)).toEqual([{ before: 0, inside: 0, after: 0 }]);
    const lost = frames.map((each, at) => (at < 2 ? each : { ...each, path: `AERO00${11 + at}.JPG` }));
    expect(numbers(lost)).toEqual([{ before: 0, inside: 1, after: 0 }]);
    const next = { ...shot(300), path: 'AERO0016.JPG' };
    expect(numbers([...frames, next])).toEqual([{ before: 0, inside: 0, after: 2 }]);
    expect(numbers(frames.map((each, at) => ({ ...each, path: `20260602_0900${at}4.JPG` })))).toEqual([
      undefined,
    ]);
  });

  const retimed = (recording: Recording, atSeconds: number): Recording => ({
    ...recording,
    facts: { ...recording.facts, recordedAt: shot(atSeconds).facts.recordedAt! },
  });
});

describe('interval series', () => {
  const long = { exposureSeconds: 1 };

  test('of five at least, at an even distance, each exposed for a good part of it', () => {
    expect(shape(every(0, 5, 5, long))).toEqual(['interval 5']);
    expect(shape(every(0, 5, 4, long))).toEqual([]);
    expect(shape([0, 7, 20, 61, 64, 90, 200].map((at) => shot(at, long)))).toEqual([]);
  });

  test('with short exposures must play as a shot, or stand in the notes', () => {
    expect(shape(every(0, 5, 47))).toEqual([]);
    expect(shape(every(0, 5, 48))).toEqual(['interval 48']);
    // Positions that stay the same prove what an even distance alone does not.
    expect(shape(every(0, 5, 24, place(0)))).toEqual(['interval 24']);
    expect(shape(every(0, 5, 23, place(0)))).toEqual([]);
    const noted = groupSequences(every(0, 5, 12), () => true);
    expect(noted).toMatchObject([{ kind: 'interval', sign: 'notes' }]);
  });

  test('are none where the camera walked, or turned', () => {
    const walk = every(0, 4, 60).map((_, at) => shot(4 * at, place(5 * at)));
    expect(shape(walk)).toEqual([]);
    expect(shape(every(0, 4, 60).map((_, at) => shot(4 * at, { headingDegrees: 50 * (at % 2) })))).toEqual(
      [],
    );
    expect(shape(every(0, 4, 60).map((_, at) => shot(4 * at, place(at))))).toEqual(['interval 60']);
  });

  test('know their interval, and which frames are missing', () => {
    const series = every(0, 2, 12, long).filter((_, at) => at !== 4 && at !== 5 && at !== 9);
    const [group] = groupSequences(series);
    expect(group).toMatchObject({ kind: 'interval', missingBefore: [0, 0, 0, 0, 2, 0, 0, 1, 0] });
    expect(group?.kind === 'interval' && group.intervalSeconds).toBeCloseTo(2, 9);
  });

  test('miss nothing where the file numbers run on', () => {
    const series = every(0, 2, 12, long)
      .filter((_, at) => at !== 4 && at !== 5)
      .map((each, at) => ({ ...each, path: `AERO${String(at + 1).padStart(4, '0')}.JPG` }));
    expect(groupSequences(series)).toMatchObject([{ kind: 'interval', missingBefore: series.map(() => 0) }]);
  });

  test('go on after a pause out of step', () => {
    expect(shape([...every(0, 60, 25), ...every(24 * 60 + 148, 60, 45)])).toEqual(['interval 70']);
  });

  test('stand a camera that is late, and clocks without fractions of a second', () => {
    const late = every(0, 3, 8).map((_, at) => shot(3 * at + (at % 2) * 0.2, long));
    expect(shape(late)).toEqual(['interval 8']);
    const whole = Array.from({ length: 10 }, (_, at) =>
      shot(Math.floor(1.5 * at), {
        ...long,
        recordedAt: new Date(Date.UTC(2026, 5, 2) + Math.floor(1.5 * at) * 1000)
          .toISOString()
          .replace('.000Z', 'Z'),
      }),
    );
    expect(shape(whole)).toEqual(['interval 10']);
    const [group] = groupSequences(whole);
    expect(group?.kind === 'interval' && group.intervalSeconds).toBeCloseTo(13 / 9, 9);
  });

  test('end where another one begins', () => {
    expect(shape([...every(0, 2, 6, long), ...every(100, 5, 6, long)])).toEqual(['interval 6', 'interval 6']);
  });

  test('with stepping exposures are no brackets', () => {
    const steps = [0, 0.33, 0, -0.33, 0, 0.33, 0, -0.33];
    const flickering = steps.map((stops, at) => shot(2 * at, { exposureSeconds: 2 ** stops / 4 }));
    expect(shape(flickering)).toEqual(['interval 8']);
  });
});

describe('mapping flights', () => {
  const down = {
    cameraPitchDegrees: -90,
    heightOverStartMetres: 60,
    equivalentFocalLengthMm: 24,
    height: 3000,
  };
  /** Lines of six, to and fro, two metres a second more or less. */
  const lines = (values: Partial<FactValues>, stepMetres = 12, seconds = 2, length = 24) =>
    Array.from({ length }, (_, at) => {
      const [line, onLine] = [Math.floor(at / 6), at % 6];
      const north = stepMetres * (line % 2 === 0 ? onLine : 5 - onLine);
      return shot(seconds * at + 7 * line, { ...place(north, 25 * line), ...values });
    });

  test('look down and show other ground in every picture', () => {
    const [flight] = groupSequences(lines(down));
    expect(flight).toMatchObject({ kind: 'mapping', heightMetres: 60, pitchDegrees: -90, isInLines: true });
    expect(flight?.kind === 'mapping' && flight.stepMetres).toBeCloseTo(12, 2);
    expect(flight?.kind === 'mapping' && flight.speedMetresPerSecond).toBeCloseTo(6, 2);
    expect(flight?.members).toHaveLength(24);
  });

  test('are told by height, speed and lines where no pitch is known, by two of them', () => {
    const plain = { height: 3000 };
    expect(shape(lines(plain))).toEqual(['mapping 24']);
    expect(shape(lines({ ...plain, heightOverStartMetres: 40 }, 6, 4))).toEqual(['mapping 24']);
    expect(shape(lines(plain, 6, 4))).toEqual([]);
    // Nobody walks so evenly for so long.
    expect(shape(lines(plain, 6, 4, 48))).toEqual(['mapping 48']);
  });

  // Six pictures of six cities within three minutes, as a demonstration of maps holds them.
  test('are none where nothing flies so fast', () => {
    expect(shape(lines(down, 11_500_000, 36))).toEqual([]);
  });

  test('are none where the camera looks at the horizon, or hovers', () => {
    expect(shape(lines({ ...down, cameraPitchDegrees: -10 }))).toEqual([]);
    expect(shape(lines(down, 1))).toEqual([]);
    expect(shape(every(0, 2, 20, { ...down, ...place(0) }))).toEqual([]);
  });

  test('are no time-lapse, however even and long', () => {
    const long = Array.from({ length: 90 }, (_, at) => shot(2 * at, { ...place(12 * at), ...down }));
    expect(shape(long)).toEqual(['mapping 90']);
    const unknown = Array.from({ length: 90 }, (_, at) => shot(2 * at, place(12 * at)));
    expect(shape(unknown)).toEqual([]);
  });
});

describe('panoramas', () => {
  const turned = (headings: readonly number[], more: (at: number) => Partial<FactValues> = () => place(0)) =>
    headings.map((headingDegrees, at) => shot(3 * at, { headingDegrees, ...more(at) }));

  test('turn on one spot by steps that overlap', () => {
    const [panorama] = groupSequences(turned([300, 330, 0, 30, 60]));
    expect(panorama).toMatchObject({ kind: 'panorama', turnDegrees: 120, stepDegrees: 30 });
    expect(shape(turned([10, 40, 72]))).toEqual(['panorama 3']);
  });

  test('have rows', () => {
    const rows = [0, 45, 90, 135, 135, 90, 45, 0];
    expect(shape(turned(rows, (at) => ({ ...place(0), cameraPitchDegrees: at < 4 ? 0 : -40 })))).toEqual([]);
    const around = [0, 45, 90, 135, 180, 180, 225, 270, 315, 0];
    expect(shape(turned(around, (at) => ({ ...place(0), cameraPitchDegrees: at < 5 ? 0 : -40 })))).toEqual([
      'panorama 10',
    ]);
  });

  test('are none on the move, at random, or by leaps', () => {
    expect(shape(turned([0, 30, 60, 90], (at) => place(20 * at)))).toEqual([]);
    expect(shape(turned([0, 40, 10, 55, 20]))).toEqual([]);
    expect(shape(turned([0, 120, 240]))).toEqual([]);
    expect(shape(turned([0, 10, 70]))).toEqual([]);
  });
});

test('bursts are pictures at one exposure, several a second', () => {
  expect(groupSequences(every(0, 0.2, 6))).toMatchObject([{ kind: 'burst' }]);
  const [burst] = groupSequences(every(0, 0.25, 5));
  expect(burst?.kind === 'burst' && burst.picturesPerSecond).toBeCloseTo(4, 6);
  expect(shape(every(0, 0.9, 6))).toEqual([]);
  expect(shape(every(0, 0.2, 2))).toEqual([]);
});

test('stills without a time and composites stay out', () => {
  expect(shape(every(0, 5, 6, { composite: 'while-shooting' }))).toEqual([]);
  expect(groupSequences([still({ exposureSeconds: 1 })])).toEqual([]);
});

test('the order of the recordings makes no difference', () => {
  const card = [
    ...biased(0, [-1, 0, 1]),
    ...every(60, 2, 9, { exposureSeconds: 1 }),
    shot(300),
    ...biased(400, [-2, -1, 0, 1, 2]),
  ];
  const groups = (recordings: readonly Recording[]) =>
    groupSequences(recordings).map(({ members }) => members.map(({ path }) => path));
  const expected = groups(card);
  fc.assert(
    fc.property(fc.shuffledSubarray(card, { minLength: card.length }), (shuffled) => {
      expect(groups(shuffled)).toEqual(expected);
    }),
    { numRuns: 40 },
  );
});
