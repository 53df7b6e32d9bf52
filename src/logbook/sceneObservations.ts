import type { FilterStrength } from '../domain/learned.ts';
import type { LoggedObservation } from './readObservations.ts';
import { directionOf } from './directionOf.ts';
import { filterKey } from './filterKey.ts';
import type { SceneObservation } from './sceneModel.ts';

/**
 * The light of each scene whose filter is known: what came through it, and what it took by all that is known of its
 * strength. A filter without pairs has the strength of its label.
 */
export function sceneObservations(
  observations: readonly LoggedObservation[],
  strengths: readonly FilterStrength[],
): readonly SceneObservation[] {
  const measured = new Map(strengths.map((one) => [filterKey(one), one.stops]));
  return observations.flatMap((one): readonly SceneObservation[] => {
    const { fitted, sensorEv100, sunElevationDegrees, flightId, sky, camera, place } = one;
    if (fitted === undefined || sensorEv100 === undefined || sunElevationDegrees === undefined) return [];
    const stops = measured.get(filterKey(fitted)) ?? fitted.labelStops;
    return [
      {
        flightId,
        ev100: sensorEv100 + stops,
        elevationDegrees: sunElevationDegrees,
        sky,
        direction: directionOf(one),
        camera,
        place,
      },
    ];
  });
}
