import { expect, test } from 'vitest';
import type { FilterStrength } from '../../src/domain/learned.ts';
import { sceneObservations } from '../../src/logbook/learning.ts';

const strength: FilterStrength = {
  label: 'ND32',
  labelStops: 5,
  stops: 4.4,
  interval: [4.2, 4.6],
  spreadStops: 0.1,
  pairs: 12,
  flights: 4,
  leftOut: 0,
  supported: true,
};
const scene = { kind: 'clip', flightId: 1, sensorEv100: 9, sunElevationDegrees: 40 } as const;

test.each([
  ['as it was found', { label: 'ND32', labelStops: 5 }, 13.4],
  ['as it was found, whatever the case of its label', { label: 'nd32', labelStops: 5 }, 13.4],
  ['by its label where that had another strength then', { label: 'ND32', labelStops: 5.1 }, 14.1],
  ['by its label where nothing was found', { label: 'ND8', labelStops: 3 }, 12],
])('a filter took %s from the light of a scene', (_, fitted, ev100) => {
  const [found] = sceneObservations([{ ...scene, fitted }], [strength]);
  expect(found!.ev100).toBeCloseTo(ev100, 9);
});

test('a scene says nothing where its filter, its light or its sun is not known', () => {
  const fitted = { label: 'ND8', labelStops: 3 };
  const { sensorEv100: _light, ...dark } = { ...scene, fitted };
  const { sunElevationDegrees: _sun, ...anytime } = { ...scene, fitted };
  expect(sceneObservations([scene, dark, anytime], [])).toEqual([]);
});
