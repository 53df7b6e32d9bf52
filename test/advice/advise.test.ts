import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { adviseFilter } from '../../src/advice/advise.ts';
import { chooseFilter } from '../../src/advice/choose.ts';
import { commonKit, type FittedFilter, type KitFilter } from '../../src/domain/filterKit.ts';
import { parseFilterName, stopsFromDensity, stopsFromFactor } from '../../src/domain/filter.ts';
import type { FrameRate } from '../../src/domain/frameRate.ts';
import type { FactValues } from '../../src/domain/recording.ts';
import { defaultLimits } from '../../src/domain/limits.ts';
import { clip, fps, still } from '../findings/subject.ts';

interface Setup {
  readonly kit?: readonly KitFilter[];
  readonly fitted?: FittedFilter;
  readonly metered?: number;
  readonly facts?: Partial<FactValues>;
  readonly fNumbersSeen?: readonly number[];
}

const bare: FittedFilter = { label: 'none', stops: 0, source: '--fitted' };
const wearing = (label: string): FittedFilter => ({
  label,
  stops: parseFilterName(label)?.stops ?? Number.NaN,
  source: '--fitted',
});
function advise(exposureSeconds: number, frameRate: FrameRate, setup: Setup = {}) {
  return adviseFilter({
    recording: clip({ exposureSeconds, frameRate, iso: 100, ...setup.facts }),
    limits: defaultLimits,
    kit: setup.kit ?? commonKit,
    fitted: setup.fitted,
    offset: { offsetStops: setup.metered ?? 0, basis: 'metered' },
    fNumbersSeen: setup.fNumbersSeen,
  });
}

// By the rule: inside the window and its sixth of slack nearest to 0, else nearest to it; of equals the weaker.
test.each([
  ['two as far from 0, the weaker', 4.0625, [4.125, 4], 4],
  ['two as far outside, the weaker', 4.6, [5.9, 4], 4],
  ['0.45 under the window rather than 0.5 over it', 4.6, [4, 5.85], 5.85],
  ['0.4 over the window rather than 0.45 under it', 4.5, [4, 5.75], 4],
])('%s', (_rule, metered, strengths, picked) => {
  const kit = strengths.map((stops) => ({ label: String(stops), stops }));
  expect(advise(1 / 50, fps(25), { kit, metered, fitted: bare })?.pick?.stops).toBe(picked);
});

test('what is needed is what was fitted plus what is still to be taken away', () => {
  const advice = advise(1 / 100, fps(25), { fitted: wearing('ND16') });
  expect(advice).toMatchObject({ fitted: { label: 'ND16' }, neededStops: 5, additionalStops: 1 });
});

describe('an unknown filter', () => {
  test('leaves the need unknown, and the pick goes on top of it', () => {
    const advice = advise(1 / 800, fps(25));
    expect(advice).toMatchObject({ assumesNothingFitted: true, additionalStops: 4, pick: { label: 'ND16' } });
    expect(advice).not.toMatchObject({ neededStops: expect.anything() });
    expect(advice).not.toMatchObject({ fitted: expect.anything() });
  });

  test('is not taken for none where nothing is to be added, nor where it took too much', () => {
    expect(advise(1 / 50, fps(25))).toMatchObject({ additionalStops: 0, otherwise: [] });
    expect(advise(1 / 50, fps(25))).not.toMatchObject({ pick: expect.anything() });
    expect(advise(1 / 25, fps(25))).toMatchObject({ additionalStops: -1 });
    expect(advise(1 / 25, fps(25))).not.toMatchObject({ pick: expect.anything() });
  });
});

describe('no advice', () => {
  const ask = (recording: Parameters<typeof adviseFilter>[0]['recording']) =>
    adviseFilter({ recording, limits: defaultLimits, kit: commonKit, fitted: bare });

  test('without exposure time or frame rate, and for stills', () => {
    expect(ask(clip({ frameRate: fps(25), iso: 100 }))).toBeUndefined();
    expect(ask(clip({ exposureSeconds: 0.01, iso: 100 }))).toBeUndefined();
    expect(ask(still({ exposureSeconds: 0.001, frameRate: fps(25), iso: 100 }))).toBeUndefined();
  });

  test('for an exposure that is longer than its frame', () => {
    expect(ask(clip({ exposureSeconds: 1 / 10, frameRate: fps(25), iso: 100 }))).toBeUndefined();
  });

  test('but without ISO the ISO in use is kept, and said', () => {
    expect(ask(clip({ exposureSeconds: 1 / 800, frameRate: fps(25) }))).toMatchObject({
      keepsIso: true,
      neededStops: 4,
    });
  });
});

describe('basis and uncertainty', () => {
  const at = (basis?: 'metered' | 'picture', fitted: FittedFilter = bare) =>
    adviseFilter({
      recording: clip({ exposureSeconds: 1 / 800, frameRate: fps(25), iso: 100 }),
      limits: defaultLimits,
      kit: commonKit,
      fitted,
      offset: basis && { offsetStops: 0, basis },
    });

  // Quadrature by hand: sqrt(0.1^2 + 0.3^2), sqrt(0.1^2 + 0.8^2), sqrt(0.1^2 + 1^2).
  test.each([
    ['metered', 'recorded exposure and meter', 0.3162],
    ['picture', 'recorded exposure and picture level', 0.8062],
    [undefined, 'recorded exposure', 1.005],
  ] as const)('%s', (basis, words, stops) => {
    expect(at(basis)?.basis).toBe(words);
    expect(at(basis)?.uncertaintyStops).toBeCloseTo(stops, 4);
  });

  test('a stronger fitted filter makes it less certain', () => {
    expect(at('metered', wearing('ND1000'))?.uncertaintyStops).toBeGreaterThan(
      at('metered')?.uncertaintyStops ?? 0,
    );
  });
});

const kits = fc
  .uniqueArray(fc.integer({ min: 1, max: 40 }), { maxLength: 6 })
  .map((quarters) => quarters.map((quarter) => ({ label: `F${quarter}`, stops: quarter / 4 })));
const light = fc.double({ min: -3, max: 11, noNaN: true });
/** Distance outside the window with its slack, by the contract and not by the code under test. */
const outside = (leaves: number) => Math.max(0, leaves - 1 / 6, -0.7 - 1 / 6 - leaves);
const under = (stops: number, kit: readonly KitFilter[]) =>
  advise(1 / 50, fps(25), { kit, fitted: bare, metered: stops });

const variables = fc
  .tuple(fc.integer({ min: 1, max: 20 }), fc.integer({ min: 1, max: 20 }))
  .map(([low, width]): KitFilter => ({
    label: 'vari',
    stops: low / 4,
    rangeStops: [low / 4, (low + width) / 4],
  }));
const spans = fc.double({ min: 0, max: 3, noNaN: true });
const windows = fc.constantFrom([-0.7, 0] as const, [-0.3, 0.3] as const, [-1.5, -0.2] as const);

test('more light never advises a weaker filter, nor a weaker setting, over whatever range of light', () => {
  fc.assert(
    fc.property(
      kits,
      variables,
      light,
      light,
      spans,
      windows,
      (kit, variable, a, b, spanStops, windowStops) => {
        const pick = (totalStops: number) =>
          chooseFilter([...kit, variable], { totalStops, spanStops, windowStops }).stops;
        expect(pick(Math.max(a, b))).toBeGreaterThanOrEqual(pick(Math.min(a, b)) - 1e-9);
      },
    ),
    { numRuns: 2000 },
  );
});

test('where one filter can hold the whole range of light, it is chosen', () => {
  // 0.15 over and 0.1 under are both inside, but a span of 0.8 fits below 0.15 only.
  const kit = [4, 4.25].map((stops) => ({ label: String(stops), stops }));
  const at = (spanStops: number) =>
    chooseFilter(kit, { totalStops: 4.15, spanStops, windowStops: [-0.7, 0] });
  expect(at(0)).toMatchObject({ label: '4.25' });
  expect(at(0.8)).toMatchObject({ label: '4' });
  expect(at(0.8).darkestLeavesStops).toBeCloseTo(-0.65, 9);
});

test('more light never advises a weaker filter', () => {
  fc.assert(
    fc.property(kits, light, light, (kit, a, b) => {
      const dim = under(Math.min(a, b), kit)?.pick?.stops ?? Number.NaN;
      const bright = under(Math.max(a, b), kit)?.pick?.stops ?? Number.NaN;
      expect(bright).toBeGreaterThanOrEqual(dim);
    }),
  );
});

test('a stronger fitted filter behind the same picture never lowers the advised one', () => {
  fc.assert(
    fc.property(
      kits,
      light,
      fc.double({ min: 0, max: 6, noNaN: true }),
      fc.double({ min: 0, max: 6, noNaN: true }),
      (kit, metered, a, b) => {
        const pickBehind = (stops: number) =>
          advise(1 / 50, fps(25), { kit, metered, fitted: { label: 'F', stops, source: 'test' } })?.pick
            ?.stops ?? Number.NaN;
        expect(pickBehind(Math.max(a, b))).toBeGreaterThanOrEqual(pickBehind(Math.min(a, b)));
      },
    ),
  );
});

test('a filter more in the kit never worsens the outcome', () => {
  fc.assert(
    fc.property(kits, light, fc.double({ min: 0.1, max: 10, noNaN: true }), (kit, stops, extra) => {
      const before = under(stops, kit)?.pick?.leavesStops ?? Number.NaN;
      const after = under(stops, [...kit, { label: 'extra', stops: extra }])?.pick?.leavesStops ?? Number.NaN;
      expect(outside(after)).toBeLessThanOrEqual(outside(before) + 1e-8);
      if (outside(before) === 0) expect(Math.abs(after)).toBeLessThanOrEqual(Math.abs(before) + 1e-8);
    }),
  );
});

test('filters named by factor, density or stops are advised alike', () => {
  fc.assert(
    fc.property(fc.integer({ min: 1, max: 10 }), light, (whole, stops) => {
      const leaves = [whole, stopsFromFactor(2 ** whole), stopsFromDensity(whole * Math.log10(2))].map(
        (strength) => under(stops, [{ label: 'F', stops: strength }])?.pick?.leavesStops ?? Number.NaN,
      );
      expect(leaves[1]).toBeCloseTo(leaves[0] ?? Number.NaN, 8);
      expect(leaves[2]).toBeCloseTo(leaves[0] ?? Number.NaN, 8);
    }),
  );
});

describe('change', () => {
  const changeOf = (exposureSeconds: number, offsetStops: number) =>
    adviseFilter({
      recording: clip({ exposureSeconds, iso: 100, frameRate: fps(24) }),
      limits: defaultLimits,
      kit: [],
      offset: { offsetStops, basis: 'metered' },
    })?.change;

  test('is none for a shutter within its tolerance and an exposure inside the window, though their sum is outside', () => {
    // 1/60 at 24 frames/s is 144 degrees, 0.32 stop short: on by common practice, no source.
    expect(changeOf(1 / 60, 0)).toBe('none');
  });

  test('is stronger for a short shutter and weaker for an underexposed clip', () => {
    expect(changeOf(1 / 200, 0)).toBe('stronger');
    expect(changeOf(1 / 48, -1.3)).toBe('weaker');
  });
});

test('settings of night or of a room are told as such, unless it is known what was fitted', () => {
  // EV at ISO 100: log2(2.8² × 50 / 16) = 4.61
  const night = { facts: { iso: 1600, fNumber: 2.8 } };
  expect(advise(1 / 50, fps(25), night)?.lowLightEv100).toBeCloseTo(4.61, 2);
  expect(advise(1 / 50, fps(25), { ...night, fitted: bare })).not.toHaveProperty('lowLightEv100');
  expect(advise(1 / 400, fps(25), { facts: { fNumber: 2.8 } })?.lowLightEv100).toBeUndefined();
});
