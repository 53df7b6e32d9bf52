import { expect, test } from 'vitest';
import { highlightsClipped } from '../../src/findings/checks/highlightsClipped.ts';
import { offsetOutside } from '../../src/findings/checks/offsetOutside.ts';
import { judged, measured, still } from './subject.ts';

const burnt = measured([{ clippedFraction: 0.2, clippedShape: 'area' }]);
const offset = { offsetStops: 2, basis: 'metered' } as const;

// Exif CompositeImage 2 and 3: no single exposure made the picture.
test.each(['general', 'while-shooting'] as const)(
  'brightness is only remarked on in a composite (%s)',
  (composite) => {
    const recording = still({ composite });
    expect(highlightsClipped(judged(recording, { measurement: burnt }))?.weight).toBe('low');
    expect(offsetOutside(judged(recording, { offset }))?.weight).toBe('low');
  },
);

test('the same pictures weigh high where they were taken at once', () => {
  expect(highlightsClipped(judged(still({}), { measurement: burnt }))?.weight).toBe('high');
  expect(offsetOutside(judged(still({}), { offset }))?.weight).toBe('high');
});
