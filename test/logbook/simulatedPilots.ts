import type { TrueClip } from '../../sample-media-generator/pilots/pilot.ts';
import type { SceneConditions } from '../../src/domain/meteredLight.ts';
import type { LoggedObservation } from '../../src/logbook/queries.ts';

/** What the logbook would hold of a clip: what was recorded and noted, not the truth behind it. */
export function loggedClip(clip: TrueClip): LoggedObservation {
  const { flight, place, sky, sunAzimuthDegrees, headingDegrees, pitchDegrees, noted, recordedEv } = clip;
  return {
    flightId: flight,
    camera: 'simulated',
    sensorEv100: recordedEv,
    fitted: { label: noted.label, labelStops: noted.labelStops },
    headingDegrees: clip.recordsAttitude ? headingDegrees : undefined,
    cameraPitchDegrees: clip.recordsAttitude ? pitchDegrees : undefined,
    sunElevationDegrees: clip.recordedElevationDegrees,
    sunAzimuthDegrees,
    place,
    sky,
  };
}

/** What a pilot knows before the flight: where the camera will look, and not yet where the sun will stand beside it. */
export function conditionsOf({ elevationDegrees, sky, place, pitchDegrees }: TrueClip): SceneConditions {
  return { elevationDegrees, sky, place, pitchDegrees, camera: 'simulated' };
}
