import type { LoggedRecording } from '../document/loggedFlight.ts';
import { lightDirection, type LightDirection } from '../domain/sun.ts';

/** Below the horizon the sun gives no direction. */
export function directionOf(
  recording: Pick<LoggedRecording, 'headingDegrees' | 'sunAzimuthDegrees' | 'sunElevationDegrees'>,
): LightDirection | undefined {
  const { headingDegrees, sunAzimuthDegrees, sunElevationDegrees } = recording;
  if (headingDegrees === undefined || sunAzimuthDegrees === undefined) return undefined;
  if (sunElevationDegrees === undefined || sunElevationDegrees < 0) return undefined;
  return lightDirection({ headingDegrees, sunAzimuthDegrees });
}
