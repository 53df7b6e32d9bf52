import fc from 'fast-check';
import { expect, test } from 'vitest';
import { conclude, concludeSequences } from '../../src/audit/conclude.ts';
import { evidenceOf } from '../../src/audit/evidence.ts';
import { commonKit, type FittedFilter } from '../../src/domain/filterKit.ts';
import { defaultLimits } from '../../src/domain/limits.ts';
import type { Measurement } from '../../src/domain/measurement.ts';
import type { FactValues, RecordingKind } from '../../src/domain/recording.ts';
import { clip, fps, measured, still } from '../findings/subject.ts';
import { oppositesIn } from '../opposites.ts';

const between = (min: number, max: number) => fc.double({ min, max, noNaN: true });
/** Evenly over stops, not over seconds. */
const ratio = (minStops: number, maxStops: number) => between(minStops, maxStops).map((stops) => 2 ** stops);

const facts: fc.Arbitrary<Partial<FactValues>> = fc.record(
  {
    exposureSeconds: ratio(-13, 3),
    iso: ratio(-1, 8).map((times) => Math.round(100 * times)),
    fNumber: ratio(0.5, 4.5),
    frameRate: fc.constantFrom(fps(24), fps(25), fps(60), fps(30_000, 1001)),
    exposureBiasStops: between(-3, 3),
    meteredOffsetStops: between(-4, 4),
    equivalentFocalLengthMm: between(14, 400),
    groundSpeedMetresPerSecond: between(0, 20),
    heightOverStartMetres: between(1, 150),
    transfer: fc.constantFrom('bt709', 'srgb', 'hlg'),
  },
  { requiredKeys: [] },
);

const fraction = fc.oneof(fc.constant(0), between(0, 0.3));

const picture: fc.Arbitrary<Measurement | undefined> = fc.option(
  fc
    .record({
      level: fc.oneof(between(-8, 2.5), fc.constant(-22.1)),
      clippedFraction: fraction,
      colours: fraction,
      headroomStops: between(0, 8),
      over: between(0, 4),
      verdict: fc.constantFrom('short', 'cannot-tell'),
    })
    .map(({ level, clippedFraction, colours, headroomStops, over, verdict }) =>
      measured([{ clippedFraction, channelClippedFraction: Math.min(1, clippedFraction + colours) }], {
        levelStops: { median: level, low: level, high: level },
        headroomStops,
        ...(over < 3 && {
          overexposure: { leastStops: 0, lowStops: over / 2, highStops: over, basis: 'tail' },
        }),
        shutter: {
          verdict,
          interval: { lowDegrees: 1, highDegrees: 60 },
          pairCount: 4,
          tileCount: 40,
          medianMotionPixels: 9,
        },
      } as Partial<Measurement>),
    ),
  { nil: undefined },
);

const fitted: fc.Arbitrary<FittedFilter | undefined> = fc.option(
  fc.constantFrom(
    { label: 'none', stops: 0, source: 'notes' },
    { label: 'ND8', stops: 3, source: 'notes' },
    { label: 'ND1000', stops: 10, source: 'notes' },
  ),
  { nil: undefined },
);

test('no recording has two remedies that ask for opposite things', () => {
  const kind = fc.constantFrom<RecordingKind>('clip', 'still');
  let asked = 0;
  fc.assert(
    fc.property(
      kind,
      facts,
      picture,
      fitted,
      fc.boolean(),
      (kind, values, measurement, filter, inSequence) => {
        const recording = { ...clip(values), kind };
        const own = evidenceOf({ recording, measurement }, { limits: defaultLimits, longestTimeline: 1 });
        const reported = conclude(
          {
            ...own,
            limits: defaultLimits,
            kit: commonKit,
            fitted: filter,
            fNumbersSeen: [1.8, 2.8, 4, 5.6, 8],
          },
          { ofFlight: [], sequence: inSequence ? { kind: 'bracket' } : undefined },
        );
        asked += reported.findings.filter(({ nextTime }) => nextTime !== undefined).length;
        expect(oppositesIn(reported)).toEqual([]);
      },
    ),
    { numRuns: 5000 },
  );
  expect(asked).toBeGreaterThan(1000);
});

test('no star trail is told that its filter was too strong', () => {
  const adviceOn = (values: Partial<FactValues>, named?: FittedFilter) => {
    const evidence = Array.from({ length: 10 }, () => ({
      ...evidenceOf(
        { recording: still(values), measurement: undefined },
        { limits: defaultLimits, longestTimeline: 1 },
      ),
      limits: defaultLimits,
      kit: commonKit,
      fitted: named,
      fNumbersSeen: [],
    }));
    const members = evidence.map(({ recording }) => recording);
    const series = { kind: 'interval', members, intervalSeconds: 62, sign: 'long-exposures' } as const;
    return concludeSequences([{ ...series, missingBefore: members.map(() => 0) }], evidence)[0]?.filter;
  };
  const trail = { exposureSeconds: 60, iso: 800, fNumber: 5.6 };
  expect(adviceOn(trail)).toBeUndefined();
  expect(adviceOn(trail, { label: 'ND8', stops: 3, source: 'notes' })).toMatchObject({ change: 'weaker' });
  expect(adviceOn({ exposureSeconds: 8, iso: 100, fNumber: 8 })).toMatchObject({ change: 'stronger' });
});
