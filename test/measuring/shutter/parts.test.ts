import { expect, test } from 'vitest';
import { boxAttenuation } from '../../../src/measuring/shutter/attenuationCurve.ts';
import { isRepeated, planPairLevels, type LumaPlane } from '../../../src/measuring/shutter/framePair.ts';
import { contradict } from '../../../src/measuring/shutter/judgeTiles.ts';
import { openFractions, classProbabilities } from '../../../src/measuring/shutter/openingFit.ts';
import { measureTiles } from '../../../src/measuring/shutter/tileSpectra.ts';
import { renderLuma, waveTexture } from '../texture.ts';

type Part = Parameters<typeof contradict>[0][number];

// Tiles that hardly move are smeared by nothing but the step of q, which takes a thousandth.
test('boxAttenuation() at rest is 1 at 0, 4/π² at half a cycle of the exposure and 0 at whole ones', () => {
  const at = (cycles: number) => boxAttenuation(1, cycles, 0);
  expect(at(0)).toBe(1);
  expect(at(0.5)).toBeCloseTo(4 / Math.PI ** 2, 3);
  expect(at(1)).toBeLessThan(0.001);
  expect(at(3)).toBeLessThan(0.001);
});

test('boxAttenuation() of a quarter-open frame time is least at four cycles per frame', () => {
  const at = (cycles: number) => boxAttenuation(0.25, cycles, 8);
  expect(at(4)).toBeLessThan(0.01);
  expect(at(4)).toBeLessThan(at(3.5));
  expect(at(4)).toBeLessThan(at(4.6));
});

// ITU-R BT.709-6, item 1.2: 18% grey gives 1.099 · 0.18^0.45 - 0.099 = 0.4090; narrow range 16 + 219 · 0.409 = 105.6.
const lightOf = (plane: LumaPlane): readonly number[] => [
  ...planPairLevels()({ first: plane, second: plane }).at(0).first.shrunk(1).codes,
];

test('light undoes curve and range', () => {
  const plane = {
    width: 3,
    height: 1,
    bitDepth: 8,
    atSeconds: 0,
    codes: Uint8Array.of(16, 106, 235),
  } as const;
  const [black, grey, white] = lightOf({ ...plane, range: 'narrow', transfer: 'bt709' });
  expect(black).toBe(0);
  expect(grey!).toBeCloseTo(18, 0);
  expect(white!).toBeCloseTo(100, 3);
  const coded = lightOf({ ...plane, range: 'full' });
  expect(coded[2]!).toBeCloseTo((100 * 235) / 255, 3);
});

test('light of PQ is that of the scene, not of the display', () => {
  // Report ITU-R BT.2408-7, table 1: cards that reflect 18 and 90% of white stand at 38 and 57%. On a display the
  // second is 6.9 times as bright.
  const codes = Uint16Array.of(0.38 * 1023, 0.57 * 1023);
  const plane = {
    width: 2,
    height: 1,
    bitDepth: 10,
    atSeconds: 0,
    codes,
    range: 'full',
    transfer: 'pq',
  } as const;
  const [grey, white] = lightOf(plane);
  expect(white! / grey!).toBeGreaterThan(4.5);
  expect(white! / grey!).toBeLessThan(5.5);
});

test('classProbabilities() divides belief at the bounds of the tolerance', () => {
  const shares = new Float64Array(openFractions.length);
  const nearest = openFractions.findIndex((open) => open >= 0.5);
  shares[nearest] = 1;
  const posterior = { shares, lowDegrees: 0, middleDegrees: 0, highDegrees: 0, atMostDegrees: 0 };
  expect(classProbabilities(posterior, { angleDegrees: 180, toleranceStops: 1 / 3 }).on).toBeCloseTo(1, 6);
  expect(classProbabilities(posterior, { angleDegrees: 90, toleranceStops: 1 / 3 }).long).toBeCloseTo(1, 6);
  expect(classProbabilities(posterior, { angleDegrees: 360, toleranceStops: 1 / 3 }).short).toBeCloseTo(1, 6);
});

// A real hand-held clip once gave these three intervals in three speed bands, each by itself confident.
test('contradict() refuses bands whose intervals lie apart', () => {
  const band = (angleDegrees: number, lowDegrees: number, highDegrees: number): Part => ({
    part: 'speed',
    motionPixelsPerFrame: 8,
    tileCount: 20,
    angleDegrees,
    lowDegrees,
    highDegrees,
  });
  const disagreeing = [band(190, 158, 224), band(156, 137, 178), band(114, 103, 126)];
  expect(contradict(disagreeing, 'speed')).toBe(true);
  expect(contradict(disagreeing, 'pairs')).toBe(false);
  expect(contradict(disagreeing.slice(0, 2), 'speed')).toBe(false);
});

test('isRepeated() knows a picture shown twice and tells it from a grainy still one', () => {
  const plane = (seed: number, grain: number) => ({
    ...({ width: 64, height: 64, bitDepth: 8, range: 'narrow', atSeconds: 0 } as const),
    codes: Uint8Array.from(
      { length: 4096 },
      (_, i) => 100 + (i % 50) + (((i * 7919 + seed * 104729) >> 3) % grain),
    ),
  });
  expect(isRepeated({ first: plane(1, 4), second: plane(1, 4) })).toBe(true);
  expect(isRepeated({ first: plane(1, 4), second: plane(2, 4) })).toBe(false);
});

test('measureTiles() says by what share the motion changes from one pair of a moment to the next', () => {
  const size = { width: 400, height: 300 } as const;
  const texture = waveTexture(5);
  const planes = [0, 4, 12, 16].map((x, i): LumaPlane => {
    const { codes } = renderLuma(texture, { ...size, shift: { x, y: 0 } });
    return { ...size, bitDepth: 8, range: 'narrow', atSeconds: i, codes };
  });
  const unevennessOf = (...pairs: readonly (readonly [number, number])[]) =>
    measureTiles(
      pairs.map(([first, second]) => planPairLevels()({ first: planes[first]!, second: planes[second]! })),
      0,
    ).unevenness;
  // By 4 pixels, then by 8: the change is two thirds of their mean.
  expect(unevennessOf([0, 1], [1, 2])).toBeCloseTo(2 / 3, 2);
  // By 4 each, but of two moments.
  expect(unevennessOf([0, 1], [2, 3])).toBeUndefined();
});
