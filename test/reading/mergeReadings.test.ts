import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { TrackSample } from '../../src/domain/recording.ts';
import { mergeReadings } from '../../src/reading/mergeReadings.ts';
import { sighting, type Carrier, type FactSighting } from '../../src/reading/sighting.ts';
import { trackReading } from '../../src/reading/timed/trackReading.ts';
import { agree, mergedFacts } from './readings.ts';

test('telemetry over time is believed before EXIF, EXIF before XMP, XMP before a container tag', () => {
  const carriers: Carrier[] = ['container-tag', 'xmp-sidecar', 'xmp-embedded', 'exif', 'timed-track'];
  for (let known = carriers.length; known > 0; known -= 1) {
    const seen = carriers
      .slice(0, known)
      .map((carrier, at) => sighting('iso', 100 * (at + 1), carrier, carrier));
    expect(mergedFacts(seen).iso?.source).toBe(carriers[known - 1]);
    expect(mergedFacts(seen).iso?.others ?? []).toHaveLength(known - 1);
  }
});

test('a stream is believed about its own size, and a tag about the capture rate', () => {
  const rate = (numerator: number) => ({ numerator, denominator: 1 });
  const facts = mergedFacts([
    sighting('width', 4000, 'exif', 'EXIF'),
    sighting('width', 3840, 'stream', 'stream'),
    sighting('frameRate', rate(30), 'stream', 'stream'),
    sighting('frameRate', rate(240), 'container-tag', 'tag'),
  ]);
  expect(facts.width?.value).toBe(3840);
  expect(facts.frameRate?.value).toEqual(rate(240));
});

describe('values agree within rounding', () => {
  test.each([
    ['exposureSeconds', 1 / 60, 1 / 64, true], // nominal and exact: 2^-6 s
    ['exposureSeconds', 1 / 50, 1 / 60, false], // a quarter of a stop
    ['fNumber', 5.6, 5.657, true],
    ['fNumber', 2.8, 3.2, false],
    ['iso', 100, 125, false],
    ['latitude', 47.5, 47.50001, true],
    ['latitude', 47.5, 47.501, false],
    ['longitude', 179.99998, -179.99998, true], // four metres across the date line
    ['longitude', 1, -1, false],
    ['durationSeconds', 10, 10.005, true],
    ['headingDegrees', 359.8, 0.1, true],
    ['headingDegrees', 90, 90.4, true], // whole degrees beside fractions
    ['headingDegrees', 90, 91, false],
  ] as const)('%s %f and %f: %s', (fact, a, b, same) => {
    expect(agree(fact, a, b)).toBe(same);
    expect(agree(fact, b, a)).toBe(same);
  });

  test.each([
    [{ numerator: 2398, denominator: 100 }, { numerator: 24_000, denominator: 1001 }, true],
    [{ numerator: 24, denominator: 1 }, { numerator: 24_000, denominator: 1001 }, false],
  ])('rates %o and %o: %s', (a, b, same) => {
    expect(agree('frameRate', a, b)).toBe(same);
  });

  test.each([
    ['2026-05-14T09:00:00Z', '2026-05-14T11:00:01+02:00', true],
    ['2026-05-14T09:00:00Z', '2026-05-14T09:00:00+02:00', false],
    ['2026-05-14T09:00:00', '2026-05-14T09:00:00+02:00', true],
    ['2026-05-14T09:00:00', '2026-05-14T10:00:00', false],
  ])('%s and %s: %s', (a, b, same) => {
    expect(agree('recordedAt', a, b)).toBe(same);
  });
});

const carrier = fc.constantFrom<Carrier>(
  'timed-track',
  'exif',
  'xmp-embedded',
  'xmp-sidecar',
  'container-tag',
  'stream',
);
const source = fc.constantFrom('A', 'B', 'C');
const seen: fc.Arbitrary<FactSighting> = fc.oneof(
  fc
    .tuple(fc.constantFrom(50, 60, 100), carrier, source)
    .map(([n, c, s]) => sighting('exposureSeconds', 1 / n, c, s)),
  fc.tuple(fc.constantFrom(100, 200), carrier, source).map(([n, c, s]) => sighting('iso', n, c, s)),
  fc.tuple(fc.constantFrom('x', 'y'), carrier, source).map(([n, c, s]) => sighting('camera', n, c, s)),
);

test('merging does not depend on the order of the readers', () => {
  fc.assert(
    fc.property(
      fc.array(seen, { maxLength: 12 }),
      fc.infiniteStream(fc.double({ min: 0, max: 1 })),
      (all, random) => {
        const shuffled = all.toSorted(() => (random.next().value as number) - 0.5);
        const reading = (sightings: readonly FactSighting[]) =>
          mergeReadings(sightings.map((one) => ({ sightings: [one], refusals: [] })));
        expect(reading(shuffled)).toEqual(reading(all));
      },
    ),
  );
});

const samples = (exposureSeconds: number, count: number): TrackSample[] =>
  Array.from({ length: count }, (_, at) => ({ startSeconds: at, endSeconds: at + 1, exposureSeconds }));
const track = (source: string, exposureSeconds: number, count: number) =>
  trackReading(samples(exposureSeconds, count), [], { source });

test('of two tracks that disagree, the fuller one gives time line and facts, and the other is kept beside it', () => {
  const few = track('a text track', 1 / 400, 3);
  const many = track('frames', 1 / 100, 6);
  for (const readings of [
    [few, many],
    [many, few],
  ]) {
    const merged = mergeReadings(readings);
    expect(merged.track?.source).toBe('frames');
    expect(merged.facts.exposureSeconds).toEqual({
      value: 1 / 100,
      source: 'frames, median of 6 samples',
      others: [{ value: 1 / 400, source: 'a text track, median of 3 samples' }],
    });
  }
});

test('tracks that agree leave no others', () => {
  const merged = mergeReadings([track('a', 1 / 100, 3), track('b', 1 / 100, 6)]);
  expect(merged.facts.exposureSeconds).toEqual({ value: 1 / 100, source: 'b, median of 6 samples' });
});

test('samples that begin before the clip are cut to it', () => {
  const early = [{ startSeconds: -0.5, endSeconds: 0.5, iso: 100 }];
  expect(trackReading(early, [], { source: 'test' }).track?.samples).toEqual([
    { startSeconds: 0, endSeconds: 0.5, iso: 100 },
  ]);
});
