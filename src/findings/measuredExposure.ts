import { framesPerSecond } from '../domain/frameRate.ts';
import type { Measurement } from '../domain/measurement.ts';
import { motionBlurSource, exposureSecondsForAngle } from '../domain/shutter.ts';
import type { Recording } from '../domain/recording.ts';

/** The recording with the exposure time that its motion blur tells, where none was recorded and the blur tells one. */
export function withMeasuredExposure(recording: Recording, measurement: Measurement | undefined): Recording {
  const { exposureSeconds, frameRate } = recording.facts;
  const angleDegrees = measurement?.shutter?.angleDegrees;
  if (exposureSeconds !== undefined || frameRate === undefined || angleDegrees === undefined)
    return recording;
  const value = exposureSecondsForAngle({
    angleDegrees: Math.min(360, angleDegrees),
    framesPerSecond: framesPerSecond(frameRate.value),
  });
  return {
    ...recording,
    facts: { ...recording.facts, exposureSeconds: { value, source: motionBlurSource } },
  };
}

/** The recording with when its fields were taken, where it is in fields and the picture tells. */
export function withMeasuredScan(recording: Recording, measurement: Measurement | undefined): Recording {
  const { scan } = recording.facts;
  if (scan === undefined || measurement?.scan === undefined) return recording;
  const measured = { value: measurement.scan, source: `${scan.source}; rows of the picture` };
  return { ...recording, facts: { ...recording.facts, scan: measured } };
}

/** Standard deviation in stops of a measured exposure time: its 95% interval is about four of them wide. */
export function measuredUncertainty(
  recording: Recording,
  measurement: Measurement | undefined,
): { readonly uncertaintyStops: number } | undefined {
  const interval = measurement?.shutter?.interval;
  if (interval === undefined || !isMeasuredExposure(recording)) return undefined;
  return { uncertaintyStops: Math.log2(interval.highDegrees / interval.lowDegrees) / (2 * 1.96) };
}

export function isMeasuredExposure({ facts }: Recording): boolean {
  return facts.exposureSeconds?.source === motionBlurSource;
}
