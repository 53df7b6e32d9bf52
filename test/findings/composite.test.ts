import { expect, test } from 'vitest';
import type { Judged } from '../../src/findings/finding.ts';
import { judge } from '../../src/findings/judge.ts';
import { judged, measured, still } from './subject.ts';

const burnt = measured([{ clippedFraction: 0.2, clippedShape: 'area' }]);
const offset = { offsetStops: 2, basis: 'metered' } as const;
const weights = (subject: Judged) => judge(subject).map(({ kind, weight }) => `${kind} ${weight}`);

// Exif CompositeImage 2 and 3: no single exposure made the picture.
test.each(['general', 'while-shooting'] as const)(
  'brightness is only remarked on in a composite (%s)',
  (composite) => {
    const recording = still({ composite });
    expect(weights(judged(recording, { measurement: burnt }))).toEqual(['highlights-clipped low']);
    expect(weights(judged(recording, { offset }))).toEqual(['too-bright low']);
  },
);

// A map of an airfield beside the pictures of a flight over it: no camera and no setting.
test('brightness is only remarked on in a still that nothing says a camera took', () => {
  const recording = { ...still({}), facts: {} };
  expect(weights(judged(recording, { measurement: burnt }))).toEqual(['highlights-clipped low']);
  const black = measured([], { noScene: 'black' });
  expect(weights(judged(recording, { measurement: black }))).toEqual(['not-a-scene low']);
  const taken = { ...recording, facts: still({ exposureSeconds: 1 / 100 }).facts };
  expect(weights(judged(taken, { measurement: burnt }))).toEqual(['highlights-clipped high']);
});

test('the same pictures weigh high where they were taken at once', () => {
  expect(weights(judged(still({}), { measurement: burnt }))).toEqual(['highlights-clipped high']);
  expect(weights(judged(still({}), { offset }))).toEqual(['too-bright high']);
});
