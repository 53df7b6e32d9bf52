import type { TruePair } from '../../sample-media-generator/pilots/pairs.ts';
import { makePilot, type TrueClip, type TruePilot } from '../../sample-media-generator/pilots/pilot.ts';
import type { SceneConditions } from '../../src/domain/learned.ts';
import { lightDirection } from '../../src/domain/daylight.ts';
import type { LoggedObservation } from '../../src/logbook/queries.ts';

export { makePilot, type TrueClip, type TruePilot };

/** What the logbook would hold of a clip: what was recorded and noted, not the truth behind it. */
export function loggedClip(clip: TrueClip): LoggedObservation {
  const { flight, atMs, place, sky, elevationDegrees, sunAzimuthDegrees, headingDegrees, fitted } = clip;
  return {
    kind: 'clip',
    flightId: flight,
    atMs,
    camera: 'simulated',
    sensorEv100: clip.recordedEv,
    offsetBasis: 'metered',
    fitted: { label: fitted.label, labelStops: fitted.labelStops },
    headingDegrees,
    sunElevationDegrees: elevationDegrees,
    sunAzimuthDegrees,
    place,
    sky,
  };
}

/** What a pilot knows before the flight: the direction is planned, so it is known. */
export function conditionsOf(clip: TrueClip): SceneConditions {
  const { elevationDegrees, sunAzimuthDegrees, headingDegrees, sky, place } = clip;
  return {
    elevationDegrees,
    sky,
    direction:
      headingDegrees === undefined ? undefined : lightDirection({ headingDegrees, sunAzimuthDegrees }),
    camera: 'simulated',
    place,
  };
}

/** Each pair as two clips two minutes apart, without a filter and with one that is labelled ND16. */
export function loggedPairs(pairs: readonly TruePair[]): readonly LoggedObservation[] {
  return pairs.flatMap(({ flight, withoutEv, withEv }, index) => {
    const clip = { kind: 'clip', flightId: flight, camera: 'simulated', offsetBasis: 'metered' } as const;
    const atMs = index * 3_600_000;
    return [
      { ...clip, atMs, sensorEv100: withoutEv, fitted: { label: 'none', labelStops: 0 } },
      { ...clip, atMs: atMs + 120_000, sensorEv100: withEv, fitted: { label: 'ND16', labelStops: 4 } },
    ];
  });
}
