import type { Refusal } from '../domain/recording.ts';
import type { RecordedNumber } from './recordedNumber.ts';
import type { RecordedTime } from './recordedTime.ts';
import type { FactSighting } from './sighting.ts';

/** Names of the Exif standard, which XMP shares, in the order in which a person would look for them. */
export type CaptureNumberName =
  | 'ExposureTime'
  | 'ShutterSpeedValue'
  | 'FNumber'
  | 'ApertureValue'
  | 'PhotographicSensitivity'
  | 'SensitivityType'
  | 'StandardOutputSensitivity'
  | 'RecommendedExposureIndex'
  | 'ISOSpeed'
  | 'ExposureBiasValue'
  | 'FocalLength'
  | 'ExposureProgram'
  | 'ExposureMode'
  | 'MeteringMode'
  | 'WhiteBalance'
  | 'CompositeImage'
  | 'GPSAltitude'
  | 'GPSAltitudeRef'
  | 'GPSImgDirection';

/** A coordinate before its sign: degrees and the letter that was recorded with them. */
export interface RecordedCoordinate {
  readonly degrees: RecordedNumber;
  readonly hemisphere: string | undefined;
}

/** What a still recorded, in the standard's own terms, whichever carrier it came from. */
export interface CaptureValues {
  readonly number: (name: CaptureNumberName) => RecordedNumber | undefined;
  readonly latitude: RecordedCoordinate | undefined;
  readonly longitude: RecordedCoordinate | undefined;
  /** `T` true north, `M` magnetic north. */
  readonly directionReference: string | undefined;
  readonly time: { readonly found: RecordedTime; readonly raw: string; readonly source: string } | undefined;
  readonly make: string | undefined;
  readonly model: string | undefined;
  /** Where make and model were read. */
  readonly cameraSource: string;
}

/** What became of them. */
export interface CaptureFacts {
  readonly sightings: readonly FactSighting[];
  readonly refusals: readonly Refusal[];
}
