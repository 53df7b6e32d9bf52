import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { parseTelemetryPairs } from '../../src/reading/telemetryPairs.ts';
import { exposureTexts, type ExposureText } from './exposureTexts.ts';

const framesPerSecond = 30_000 / 1001;
const readText = (text: string, place?: ExposureText['place']) =>
  parseTelemetryPairs(text, { source: 'test', framesPerSecond, place });

describe('a text as aircraft write it is read whole', () => {
  test.each(exposureTexts)('$text', ({ text, facts, refused = [], place }) => {
    const read = readText(text, place);
    expect(Object.keys(read.facts).toSorted()).toEqual(Object.keys(facts).toSorted());
    for (const [name, value] of Object.entries(facts))
      expect(read.facts[name as keyof typeof facts], name).toBeCloseTo(value, 9);
    expect(read.refusals.map(({ what }) => what)).toEqual(refused);
  });
});

const arrangements: readonly ((pairs: readonly string[][]) => string)[] = [
  (pairs) => pairs.map(([name, value]) => `[${name} : ${value}]`).join(' '),
  (pairs) => `[${pairs.map(([name, value]) => `${name}: ${value}`).join(' ')}]`,
  (pairs) => pairs.map(([name, value]) => `${name!.toUpperCase()}:${value}`).join(' '),
  (pairs) => pairs.map(([name, value]) => `${name}=${value}`).join('\n'),
  (pairs) =>
    `<font size="36">FrameCnt: 7, DiffTime: 33ms\n${pairs.map(([name, value]) => `[${name}: ${value}]`).join('')}</font>`,
  (pairs) => pairs.map(([name, value]) => `${name} ${value}`).join(', '),
];

test('facts do not depend on order, arrangement or case', () => {
  fc.assert(
    fc.property(
      fc.integer({ min: 50, max: 12_800 }),
      fc.integer({ min: 32, max: 16_000 }),
      fc.integer({ min: 80, max: 2200 }),
      fc.double({ min: -90, max: 90, noNaN: true }),
      fc.shuffledSubarray(['iso', 'shutter', 'fnum', 'latitude'], { minLength: 1 }),
      fc.constantFrom(...arrangements),
      (iso, bottom, hundredths, latitude, order, arranged) => {
        const written: Record<string, string> = {
          iso: String(iso),
          shutter: `1/${bottom}.0`,
          fnum: String(hundredths),
          latitude: latitude.toFixed(6),
        };
        const { facts, refusals } = readText(arranged(order.map((name) => [name, written[name]!])));
        expect(refusals).toEqual([]);
        if (order.includes('iso')) expect(facts.iso).toBe(iso);
        if (order.includes('shutter')) expect(facts.exposureSeconds).toBeCloseTo(1 / bottom, 12);
        if (order.includes('fnum')) expect(facts.fNumber).toBeCloseTo(hundredths / 100, 9);
        if (order.includes('latitude')) expect(facts.latitude).toBeCloseTo(latitude, 5);
        expect(Object.keys(facts)).toHaveLength(order.length);
      },
    ),
  );
});

test('a shutter without "1/" is the bottom of a fraction, and never longer than a frame', () => {
  fc.assert(
    fc.property(
      fc.double({ min: 0.0001, max: 20_000, noNaN: true }),
      fc.constantFrom('SS ', 'TV:', 'Shutter:'),
      (number, name) => {
        const { facts, refusals } = readText(`${name}${number.toFixed(4)}`);
        const seconds = facts.exposureSeconds;
        expect((seconds === undefined) !== (refusals.length === 0)).toBe(true);
        // A tenth of a stop is what nominal times are rounded by.
        if (seconds !== undefined) expect(seconds * framesPerSecond).toBeLessThanOrEqual(2 ** 0.1 + 1e-9);
      },
    ),
  );
});

test('whichever coordinate stands first, the position is that of the container or none', () => {
  const coordinate = (most: number) => fc.double({ min: -most, max: most, noNaN: true });
  fc.assert(
    fc.property(coordinate(85), coordinate(175), fc.boolean(), (latitude, longitude, turned) => {
      const [a, b] = turned ? [latitude, longitude] : [longitude, latitude];
      const { facts } = readText(`GPS(${a.toFixed(4)},${b.toFixed(4)},12)`, { latitude, longitude });
      // Where the two are nearly equal their order makes no difference.
      const nowhere = a.toFixed(4) === '0.0000' && b.toFixed(4) === '0.0000';
      if (nowhere || Math.abs(latitude - longitude) < 2) return;
      expect(facts.latitude).toBeCloseTo(latitude, 3);
      expect(facts.longitude).toBeCloseTo(longitude, 3);
    }),
  );
});
