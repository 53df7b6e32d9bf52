import { describe, expect, test } from 'vitest';
import type { FactValues, Recording } from '../../src/domain/recording.ts';
import type { StillSequence } from '../../src/domain/sequence.ts';
import { defaultLimits } from '../../src/domain/limits.ts';
import { bracketSteps } from '../../src/findings/bracketExposures.ts';
import { findingRemedy, type Finding } from '../../src/findings/index.ts';
import { findingsOfMember, judgeSequence } from '../../src/findings/judge.ts';
import type { MemberEvidence } from '../../src/findings/finding.ts';
import { measured, still } from './subject.ts';

const frame = (stops: number, more: Partial<FactValues> = {}): Recording =>
  still({ exposureSeconds: 2 ** stops / 400, iso: 100, fNumber: 4, exposureBiasStops: stops, ...more });
const burnt = (fraction: number): MemberEvidence => ({
  measurement: measured([{ clippedFraction: fraction, clippedShape: 'area' }]),
});
const judge = (sequence: StillSequence, evidence: readonly MemberEvidence[] = []) =>
  judgeSequence({
    sequence,
    evidence: sequence.members.map((_, at) => evidence[at] ?? {}),
    limits: defaultLimits,
  });
const bracket = (members: readonly Recording[], evidence: readonly MemberEvidence[] = []) =>
  judge({ kind: 'bracket', members }, evidence);

describe('a bracket', () => {
  test('that is whole, even and holds both ends has nothing', () => {
    expect(bracket([-2, -1, 0, 1, 2].map((stops) => frame(stops)))).toEqual([]);
  });

  test.each([
    ['between', [-2, -1, 1, 2]],
    ['between', [-2, 0, 1]],
    ['brightest', [-2, -1, 0, 1]],
    ['darkest', [-1, 0, 1, 2]],
    ['darkest or brightest', [-1.5, -0.5, 0.5, 1.5]],
  ] as const)('misses one: %s of %j', (missing, biases) => {
    expect(bracket(biases.map((stops) => frame(stops)))).toMatchObject([
      { kind: 'bracket-frame-missing', weight: 'medium', frames: biases.length, missing },
    ]);
  });

  test('in marked thirds is even: 1/1600, 1/400, 1/100 and 1/60, 1/250, 1/1000', () => {
    const marks = (denominators: readonly number[]) =>
      denominators.map((one, at) => frame(at - 1, { exposureSeconds: 1 / one }));
    expect(bracket(marks([1600, 400, 100]))).toEqual([]);
    expect(bracket(marks([1000, 250, 60]))).toEqual([]);
  });

  // A ladder by hand from 0.4 s to 1/60 s: log2(10/8) = 0.32, log2(8/6) = 0.42, and log2(15/13) = 0.21.
  test('by hand over every mark of the dial is even, and a double step of it lost no frame', () => {
    const marks = (seconds: readonly number[]) =>
      seconds.map((exposureSeconds) => frame(0, { exposureSeconds, exposureBiasStops: 0 }));
    const dial = [1 / 60, 1 / 50, 1 / 40, 1 / 30, 1 / 25, 1 / 20, 1 / 15, 1 / 13, 1 / 10, 1 / 8, 1 / 6, 0.2];
    expect(bracket(marks(dial))).toEqual([]);
    // A telephone from 1/50 s to 1/6 s: its last step is twice the others.
    expect(bracket(marks([1 / 50, 1 / 30, 1 / 20, 1 / 13, 1 / 6]))).toEqual([]);
  });

  test('may be black in its darkest frame', () => {
    const black: Finding = { kind: 'not-a-scene', weight: 'medium', noScene: 'black' };
    expect(findingsOfMember([black], { kind: 'bracket' })).toEqual([]);
    expect(findingsOfMember([black], { kind: 'interval' })).toEqual([black]);
  });

  test('that opens the aperture and raises ISO says both', () => {
    const members = [frame(-2), frame(0), frame(2, { exposureSeconds: 1 / 400, fNumber: 2.8, iso: 200 })];
    expect(bracket(members)).toMatchObject([
      { kind: 'bracket-settings-change', settings: ['aperture', 'ISO'] },
    ]);
  });

  test('is held by its darkest frame, wherever it stands', () => {
    const members = [frame(0), frame(-1), frame(1)];
    expect(bracket(members, [burnt(0.2), burnt(0), burnt(0.4)])).toEqual([]);
    expect(bracket(members, [burnt(0.2), burnt(0.03), burnt(0.4)])).toMatchObject([
      { kind: 'bracket-highlights-lost', weight: 'medium', fraction: 0.03 },
    ]);
  });

  test('steps from the frame with no bias, else from the middle one', () => {
    expect(bracketSteps([frame(0), frame(-1), frame(1)])?.map((stops) => Number(stops.toFixed(9)))).toEqual([
      0, -1, 1,
    ]);
    const unbiased = [1, 4, 16].map((times) => still({ exposureSeconds: times / 1600 }));
    expect(bracketSteps(unbiased)?.map((stops) => Math.round(stops))).toEqual([-2, 0, 2]);
    expect(bracketSteps([still({})])).toBeUndefined();
  });
});

describe('an interval series', () => {
  const series = (
    exposureSeconds: number,
    intervalSeconds: number,
    more: readonly Partial<FactValues>[] = [],
  ) => {
    const members = Array.from({ length: 10 }, (_, at) =>
      still({ exposureSeconds, iso: 100, fNumber: 8, ...more[at] }),
    );
    const missingBefore = members.map(() => 0);
    return { kind: 'interval', members, intervalSeconds, missingBefore, sign: 'notes' } as const;
  };
  const kinds = (sequence: StillSequence, evidence: readonly MemberEvidence[] = []) =>
    judge(sequence, evidence).map(({ kind, weight }) => `${kind} ${weight}`);

  // Half of the interval is the target; 1.5 to 2 s of 5 s are good and 0.5 s shows some blur: common practice, no
  // source.
  test.each([
    [1.5, 3, []],
    [2, 5, []],
    [1.5, 5, []],
    [0.5, 5, ['series-exposure-short low']],
    [0.4, 5, ['series-exposure-short medium']],
    [1 / 1000, 2, ['series-exposure-short medium']],
  ])('%d s of %d s: %j', (exposure, interval, expected) =>
    expect(kinds(series(exposure, interval))).toEqual(expected),
  );

  test('of a hovering camera may be short: a remark', () => {
    const hovering = Array.from({ length: 10 }, () => ({ latitude: -47.3, longitude: -126.8 }));
    expect(kinds(series(1 / 1000, 2, hovering))).toEqual(['series-exposure-short low']);
    const moving = hovering.map((place, at) => ({ ...place, latitude: place.latitude + at * 1e-4 }));
    expect(judge(series(1 / 1000, 2, moving))).toMatchObject([{ weight: 'medium', camera: 'moving' }]);
  });

  test('says how much of the picture the sun burns, where the exposure is short', () => {
    const sun = { measurement: measured([{ clippedFraction: 0.004, clippedShape: 'disc' }]) } as const;
    expect(judge(series(0.5, 5), [sun])).toMatchObject([{ discFraction: 0.004 }]);
  });

  test('that lost frames says how many and how long it paused', () => {
    const whole = series(1, 2);
    const lost = { ...whole, missingBefore: [0, 0, 3, 0, 0, 1, 0, 0, 0, 0] };
    expect(judge(lost)).toMatchObject([
      { kind: 'series-frames-dropped', weight: 'medium', missingFrames: 4, gaps: 2, longestGapSeconds: 8 },
    ]);
  });

  test('flickers by steps of settings, not by rounding of marks', () => {
    const stepped = Array.from({ length: 10 }, (_, at) => ({ exposureSeconds: at % 2 === 0 ? 1 : 1.3 }));
    expect(judge(series(1, 2, stepped))).toMatchObject([{ kind: 'series-exposure-steps', count: 9 }]);
    const rounded = Array.from({ length: 10 }, (_, at) => ({ exposureSeconds: at % 2 === 0 ? 1 : 1.1 }));
    expect(judge(series(1, 2, rounded))).toEqual([]);
  });

  test('is judged by its usual frame', () => {
    const offsets = (stops: number): readonly MemberEvidence[] =>
      Array.from({ length: 10 }, () => ({ offset: { offsetStops: stops, basis: 'metered' } }));
    expect(judge(series(1, 2), offsets(-1.4))).toMatchObject([
      { kind: 'series-too-dark', weight: 'medium', offsetStops: -1.4 },
    ]);
    expect(judge(series(1, 2), offsets(0.6))).toMatchObject([{ kind: 'series-too-bright' }]);
    expect(judge(series(1, 2), offsets(-0.3))).toEqual([]);
    expect(kinds(series(1, 2), [burnt(0.3), burnt(0.02)])).toEqual(['series-highlights-clipped high']);
  });

  test('is remarked on for flecks, and flagged for one part', () => {
    const flecks = (clippedFraction: number, largestRegionFraction: number): MemberEvidence => ({
      measurement: measured([{ clippedFraction, largestRegionFraction, clippedShape: 'area' }]),
    });
    expect(kinds(series(1, 2), [flecks(0.03, 0.002)])).toEqual(['series-highlights-clipped low']);
    expect(kinds(series(1, 2), [flecks(0.03, 0.002), flecks(0.02, 0.02)])).toEqual([
      'series-highlights-clipped medium',
    ]);
    expect(bracket([frame(-1), frame(0), frame(1)], [flecks(0.03, 0.002)])).toMatchObject([
      { kind: 'bracket-highlights-lost', weight: 'low' },
    ]);
  });

  test('that is dark and burnt is not to get more light', () => {
    const dark = { offset: { offsetStops: -1.4, basis: 'metered' } } as const;
    const nextTime = (evidence: readonly MemberEvidence[]) =>
      judge(series(1, 2), evidence)
        .filter(({ kind }) => kind === 'series-too-dark')
        .map((finding) => findingRemedy(finding, {}).nextTime);
    expect(nextTime(Array.from({ length: 10 }, () => dark))).toEqual([
      'Expose 1.4 stops more, with a longer shutter.',
    ]);
    expect(nextTime(Array.from({ length: 10 }, () => ({ ...dark, ...burnt(0.1) })))).toEqual([
      expect.stringMatching(/^Its bright and its dark parts are farther apart/),
    ]);
  });

  test('lets the ISO fall before a filter takes away what a longer exposure brings', () => {
    const remedy = (iso: number) =>
      judge(
        series(
          0.5,
          5,
          Array.from({ length: 10 }, () => ({ iso })),
        ),
      ).map((finding) => findingRemedy(finding, {}).nextTime);
    expect(remedy(100)).toEqual(['Expose for 2.5 s, with a filter that takes the added light away.']);
    expect(remedy(400)).toEqual([
      'Expose for 2.5 s, with a lower ISO, then a filter, that takes the added light away.',
    ]);
  });
});

test('a member keeps what its sequence does not answer for', () => {
  const own = [
    { kind: 'too-bright', weight: 'high', offsetStops: 2, basis: 'picture' },
    { kind: 'iso-raised', weight: 'low', iso: 200, baseIso: 100, overStops: 1 },
  ] as const;
  expect(findingsOfMember(own, { kind: 'interval' }).map(({ kind }) => kind)).toEqual(['iso-raised']);
});

describe('a mapping flight', () => {
  /** 100 m up, a 24 mm lens: 4000 pixels see 144.23 m, so a pixel is 3.606 cm. */
  const picture = (values: Partial<FactValues>): Recording =>
    still({
      heightOverStartMetres: 100,
      equivalentFocalLengthMm: 24,
      width: 4000,
      height: 3000,
      iso: 100,
      fNumber: 4,
      ...values,
    });
  const flight = (pictures: readonly Partial<FactValues>[]): StillSequence => ({
    kind: 'mapping',
    members: pictures.map(picture),
    stepMetres: 20,
    speedMetresPerSecond: 10,
    isInLines: true,
  });
  const ten = (exposureSeconds: number, more: Partial<FactValues> = {}) =>
    Array.from({ length: 10 }, () => ({ exposureSeconds, ...more }));

  // 10 m/s for 1/500 s are 2 cm: 0.55 pixels; for 1/200 s 5 cm: 1.39; for 1/100 s 10 cm: 2.77.
  test.each([
    [1 / 500, []],
    [1 / 200, ['mapping-blur low']],
    [1 / 100, ['mapping-blur medium']],
  ])('exposed for %d s at 10 m/s: %j', (exposureSeconds, expected) =>
    expect(judge(flight(ten(exposureSeconds))).map(({ kind, weight }) => `${kind} ${weight}`)).toEqual(
      expected,
    ),
  );

  test('says how much the ground moved, and which exposure would have held it', () => {
    const [blur] = judge(flight(ten(1 / 100)));
    expect(blur?.kind === 'mapping-blur' && blur.blurPixels).toBeCloseTo(2.773, 3);
    expect(blur?.kind === 'mapping-blur' && blur.sharpSeconds).toBeCloseTo(1 / 277.3, 5);
    expect(judge(flight(ten(1 / 100, { groundSpeedMetresPerSecond: 0.5 })))).toEqual([]);
  });

  test('is never asked for a longer exposure, and says nothing of blur without its height', () => {
    const unknown = ten(1 / 2000).map((each) => ({ ...each, heightOverStartMetres: undefined }));
    expect(judge(flight(ten(1 / 2000)))).toEqual([]);
    expect(judge({ ...flight([]), members: unknown.map((each) => still({ ...each, iso: 100 })) })).toEqual(
      [],
    );
  });

  test('wants one exposure, but for the lenses of a camera for many colours', () => {
    const uneven = Array.from({ length: 10 }, (_, at) => ({ exposureSeconds: at < 5 ? 1 / 2000 : 1 / 500 }));
    expect(judge(flight(uneven))).toMatchObject([
      { kind: 'exposure-uneven', weight: 'medium', of: 'mapping' },
    ]);
    const lenses = uneven.map((each) => ({ ...each, latitude: 1, longitude: 1 }));
    expect(judge(flight(lenses))).toEqual([]);
  });

  test('too dark wants a longer exposure and no filter', () => {
    const dark: readonly MemberEvidence[] = ten(1).map(() => ({
      offset: { offsetStops: -1.4, basis: 'metered' },
    }));
    expect(judge(flight(ten(1 / 1000)), dark)).toMatchObject([
      { kind: 'series-too-dark', isTimeLapse: false },
    ]);
  });
});

test('a bracket with numbers that run on misses nothing', () => {
  const members = [-2, -1, 0, 1].map((stops) => frame(stops));
  const runOn = { before: 0, inside: 0, after: 0 };
  expect(judge({ kind: 'bracket', members, skippedNumbers: runOn })).toEqual([]);
  expect(judge({ kind: 'bracket', members, skippedNumbers: { ...runOn, after: 1 } })).toMatchObject([
    { kind: 'bracket-frame-missing', missing: 'brightest' },
  ]);
});
