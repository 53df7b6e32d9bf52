import { describe, expect, test } from 'vitest';
import { adviseFilter } from '../../src/advice/advise.ts';
import type { Alternative } from '../../src/domain/advice.ts';
import type { KitFilter } from '../../src/domain/filterKit.ts';
import type { FactValues } from '../../src/domain/recording.ts';
import { defaultLimits } from '../../src/domain/limits.ts';
import { clip, fps, overBy } from '../findings/subject.ts';

const nd = (stops: number, more: Partial<KitFilter> = {}): KitFilter => ({
  label: `ND${2 ** stops}`,
  stops,
  ...more,
});

/** A clip at 1/50 s, 25 frames/s, nothing fitted: its offset is the strength it needs. */
function otherwise(
  neededStops: number,
  kit: readonly KitFilter[],
  more: { facts?: Partial<FactValues>; fNumbersSeen?: readonly number[] } = {},
): readonly Alternative[] {
  const advice = adviseFilter({
    recording: clip({ exposureSeconds: 1 / 50, frameRate: fps(25), iso: 100, ...more.facts }),
    limits: defaultLimits,
    kit,
    fitted: { label: 'none', stops: 0, source: 'test' },
    offset: { offsetStops: neededStops, basis: 'metered' },
    fNumbersSeen: more.fNumbersSeen,
  });
  return advice?.otherwise ?? [];
}

const only = (kind: Alternative['kind'], list: readonly Alternative[]) =>
  list.filter((one) => one.kind === kind);

test('a filter that fits needs no alternative', () => {
  expect(otherwise(4, [nd(4)])).toEqual([]);
  expect(otherwise(4.5, [nd(4), nd(5)])).toEqual([]);
});

test('no filter needed is said', () =>
  expect(otherwise(-0.3, [nd(4)])).toEqual([{ kind: 'no-filter-needed' }]));

test('the nearest comes first where none fits', () => {
  expect(otherwise(6, [nd(3), nd(5)])[0]).toEqual({
    kind: 'nearest-leaves-outside',
    label: 'ND32',
    leavesStops: 1,
  });
});

describe('shutter-within-tolerance', () => {
  test('a filter 0.4 stop short is made up for by the marked shutter next to 0.23 stop shorter', () => {
    // The window gives way by a sixth, so 0.2333 stop of shutter remains: 1/50 s / 2^0.2333 = 1/58.78 s, marked 1/60 s.
    const [alternative] = only('shutter-within-tolerance', otherwise(4.4, [nd(4)]));
    expect(alternative).toMatchObject({ label: 'ND16', exposureSeconds: 1 / 60 });
  });

  test('not by more than the tolerance of a third', () => {
    expect(only('shutter-within-tolerance', otherwise(4.5, [nd(4)]))).toEqual([]);
  });
});

describe('stack', () => {
  test('two filters add their stops: 8 x 64 = 512 = 9 stops', () => {
    expect(only('stack', otherwise(9, [nd(3), nd(6)]))).toEqual([
      { kind: 'stack', labels: ['ND8', 'ND64'], stops: 9, leavesStops: 0 },
    ]);
  });

  test('two polarisers are never stacked, nor one filter with itself', () => {
    const polariser = true;
    expect(only('stack', otherwise(9, [nd(3, { polariser }), nd(6, { polariser })]))).toEqual([]);
    expect(only('stack', otherwise(6, [nd(3)]))).toEqual([]);
  });
});

describe('raise-iso', () => {
  test('a filter that takes a stop too much works at the least ISO that reaches the window', () => {
    // -1 at ISO 100 is -0.68 at ISO 125 (0.32 stop).
    expect(only('raise-iso', otherwise(5, [nd(6)]))).toEqual([
      { kind: 'raise-iso', label: 'ND64', iso: 125, leavesStops: expect.closeTo(-0.678, 3) },
    ]);
  });

  test('a scene too dark for any filter asks for ISO alone', () => {
    expect(only('raise-iso', otherwise(-2, [nd(3)]))).toMatchObject([{ label: 'none', iso: 250 }]);
  });

  test('is not offered beyond two stops, unless the pilot went there, nor without a recorded ISO', () => {
    expect(only('raise-iso', otherwise(0.5, [nd(6)]))).toEqual([]);
    expect(only('raise-iso', otherwise(-3.5, []))).toEqual([]);
    expect(only('raise-iso', otherwise(0, [], { facts: { iso: 1600 } }))).toMatchObject([
      { label: 'none', iso: 1000 },
    ]);
    const advice = adviseFilter({
      recording: clip({ exposureSeconds: 1 / 50, frameRate: fps(25) }),
      limits: defaultLimits,
      kit: [nd(6)],
      offset: { offsetStops: 5, basis: 'metered' },
    });
    expect(only('raise-iso', advice?.otherwise ?? [])).toEqual([]);
  });
});

describe('stop-down', () => {
  const facts = { fNumber: 2.8 };

  test('the widest f-number seen that fits: f/2.8 to f/4 is 1.03 stops by the marks', () => {
    expect(only('stop-down', otherwise(6, [nd(5)], { facts, fNumbersSeen: [2.8, 4, 5.6] }))).toEqual([
      { kind: 'stop-down', label: 'ND32', fNumber: 4, leavesStops: expect.closeTo(-0.029, 3) },
    ]);
  });

  test('is not offered to a lens that shows one f-number, or none', () => {
    expect(only('stop-down', otherwise(6, [nd(5)], { facts, fNumbersSeen: [2.8, 2.8] }))).toEqual([]);
    expect(only('stop-down', otherwise(6, [nd(5)], { fNumbersSeen: [2.8, 4] }))).toEqual([]);
    expect(only('stop-down', otherwise(6, [nd(5)], { facts }))).toEqual([]);
  });
});

describe('other-frame-rate', () => {
  test('twice the rate halves the exposure: ND32 at 50 frames/s for six stops at 25', () => {
    expect(only('other-frame-rate', otherwise(6, [nd(5)]))).toMatchObject([
      { label: 'ND32', framesPerSecond: 48 },
    ]);
    expect(only('other-frame-rate', otherwise(6.15, [nd(5)]))).toMatchObject([
      { label: 'ND32', framesPerSecond: 50 },
    ]);
  });

  test('a clip at a rate over 1.001 is offered rates of its kind', () => {
    const facts = { frameRate: fps(30000, 1001), exposureSeconds: 1001 / 60000 };
    const [alternative] = only('other-frame-rate', otherwise(6, [nd(5)], { facts }));
    expect(alternative).toMatchObject({ framesPerSecond: expect.closeTo(59.94, 3) });
  });
});

describe('second-base-iso', () => {
  test('a filter three stops stronger at ISO 800, where the kit fits there only', () => {
    const limits = { ...defaultLimits, secondBaseIso: 800 };
    const advice = adviseFilter({
      recording: clip({ exposureSeconds: 1 / 50, frameRate: fps(25), iso: 100 }),
      limits,
      kit: [nd(6)],
      fitted: { label: 'none', stops: 0, source: 'test' },
      offset: { offsetStops: 3, basis: 'metered' },
    });
    expect(only('second-base-iso', advice?.otherwise ?? [])).toEqual([
      { kind: 'second-base-iso', label: 'ND64', iso: 800, leavesStops: 0 },
    ]);
  });

  test('is not offered to a camera that has none', () =>
    expect(only('second-base-iso', otherwise(3, [nd(6)]))).toEqual([]));
});

describe('wait-for-light', () => {
  test('by as much as the strongest filter leaves over', () => {
    expect(only('wait-for-light', otherwise(6, [nd(5)]))).toEqual([
      { kind: 'wait-for-light', label: 'ND32', stops: 1 },
    ]);
  });

  test('is not offered where there is too little light, nor for what no dusk brings', () => {
    expect(only('wait-for-light', otherwise(-2, [nd(5)]))).toEqual([]);
    expect(only('wait-for-light', otherwise(13, [nd(5)]))).toEqual([]);
  });
});

describe('darker-by-shutter', () => {
  const burnt = (kit: readonly KitFilter[], overStops?: number) =>
    adviseFilter({
      recording: clip({ exposureSeconds: 1 / 50, frameRate: fps(25), iso: 100 }),
      limits: defaultLimits,
      kit,
      fitted: { label: 'ND16', stops: 4, source: 'test' },
      offset: { offsetStops: 0, basis: 'metered' },
      highlightRoom: {
        burntFraction: 0.05,
        overexposure: overStops === undefined ? undefined : overBy(overStops),
      },
    });

  test('keeps the filter of the meter and takes a stop by the shutter: 1/100 s, 90 degrees', () => {
    const advice = burnt([nd(4), nd(5)]);
    expect(advice).toMatchObject({
      change: 'stronger',
      pick: { label: 'ND32' },
      highlights: { offsetStops: -1, burntFraction: 0.05, firstStep: true },
    });
    expect(only('darker-by-shutter', advice?.otherwise ?? [])).toMatchObject([
      { label: 'ND16', exposureSeconds: 1 / 100, angleDegrees: 90 },
    ]);
  });

  test('is not said where the pick is that filter', () =>
    expect(only('darker-by-shutter', burnt([nd(4)])?.otherwise ?? [])).toEqual([]));

  test('no more than two stops under are asked for, and what is beyond is said', () =>
    expect(burnt([nd(4)], 3.5)?.highlights).toMatchObject({
      offsetStops: -2,
      burntFraction: 0.05,
      beyondStops: 1.5,
    }));

  test('a measured excess is no first step', () =>
    expect(burnt([nd(4)], 0.7)?.highlights).toMatchObject({
      offsetStops: -0.7,
      firstStep: undefined,
      burntFraction: 0.05,
    }));
});

test('variable and graduated filters are never stacked', () => {
  const kit = [nd(3), { label: 'vari', stops: 2, rangeStops: [2, 5] as const }, nd(4, { graduated: true })];
  expect(only('stack', otherwise(8, kit))).toEqual([]);
});

test('the full-stop strength to buy is named with its factor', () => {
  expect(only('strength-not-in-kit', otherwise(6, [nd(3)]))).toEqual([
    { kind: 'strength-not-in-kit', stops: 6, factor: 64 },
  ]);
});

test('the kit that stands in has ND2 to ND1024 in full stops', async () => {
  const { commonKit } = await import('../../src/domain/filterKit.ts');
  expect(commonKit.map(({ label }) => label).join(' ')).toBe(
    'ND2 ND4 ND8 ND16 ND32 ND64 ND128 ND256 ND512 ND1024',
  );
  expect(commonKit.map(({ stops }) => stops)).toEqual([1, 2, 3, 4, 5, 6, 7, 8, 9, 10]);
});
