import { expect, test } from 'vitest';
import { shownFacts } from '../../src/domain/factWording.ts';

const source = 'test';

test('frames are shown to the last one, however many', () => {
  expect(shownFacts({ frameCount: { value: 1_234_567, source } })[0]!.value).toBe('1234567');
});

test.each([
  [359.4, '359°'],
  [359.7, '0°'],
  [360, '0°'],
])('a heading of %s degrees is shown as %s, and north is never 360', (value, shown) => {
  expect(shownFacts({ headingDegrees: { value, source } })[0]!.value).toBe(shown);
});
