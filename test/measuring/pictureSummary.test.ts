import { describe, expect, test } from 'vitest';
import type { FrameMeasure } from '../../src/domain/measurement.ts';
import { summarise } from '../../src/measuring/pictureSummary.ts';

describe('summarise()', () => {
  const ceiling = { signal: 0.98, basis: 'nominal' } as const;
  const frame = (more: Partial<FrameMeasure>): FrameMeasure => ({
    atSeconds: 0,
    clippedFraction: 0,
    channelClippedFraction: 0,
    largestRegionFraction: 0,
    crushedFraction: 0,
    ...more,
  });
  const black = frame({ noScene: 'black', crushedFraction: 1 });
  const title = frame({ noScene: 'drawing', clippedFraction: 0.2, clippedShape: 'area' });

  test('leaves what is no scene out of every share and of the level', () => {
    const found = summarise([black, title, frame({ levelStops: 0.5, crushedFraction: 0.02 })], ceiling, []);
    expect(found).toMatchObject({
      framesMeasured: 3,
      noScene: undefined,
      clippedFraction: { max: 0 },
      crushedFraction: { max: 0.02 },
      levelStops: { median: 0.5 },
    });
  });

  test('says what most pictures are where not one is a scene', () => {
    expect(summarise([title, black, title], ceiling, [])).toMatchObject({
      noScene: 'drawing',
      clippedFraction: { max: 0.2 },
      levelStops: undefined,
    });
    expect(summarise([], ceiling, []).noScene).toBeUndefined();
  });
});
