/** What the camera recorded for a stretch of a clip; seconds count from the first frame. */
export interface ExposureSample {
  readonly startSeconds: number;
  readonly endSeconds: number;
  readonly exposureSeconds?: number;
  readonly iso?: number;
  readonly fNumber?: number;
  readonly shutterAngleDegrees?: number;
  readonly captureFramesPerSecond?: number;
  readonly recordedFilterStops?: number;
  readonly gainDecibels?: number;
  readonly whiteBalanceKelvin?: number;
  readonly rollingShutterSkewSeconds?: number;
  readonly latitude?: number;
  readonly longitude?: number;
  readonly altitudeMetres?: number;
  readonly groundSpeedMetresPerSecond?: number;
}

/** What holds for the whole clip. */
export interface ClipFacts {
  readonly exposureSeconds?: number;
  readonly iso?: number;
  readonly fNumber?: number;
  readonly captureFramesPerSecond?: number;
  readonly playbackFramesPerSecond?: number;
  readonly variableFrameRate?: true;
  /** Share of the frames that repeat the frame before, bit for bit before compression. */
  readonly repeatedFrameFraction?: number;
  readonly startTimecode?: string;
  readonly recordedAt?: string;
  readonly latitude?: number;
  readonly longitude?: number;
  readonly altitudeMetres?: number;
  readonly rating?: number;
}

type Carrier =
  | 'camm'
  | 'mebx'
  | 'keyed-telemetry'
  | 'motion-jpeg-exif'
  | 'rdd18'
  | 'text-track'
  | 'klv'
  | 'xmp'
  | 'metadata-keys'
  | 'simple-tags'
  | 'timecode'
  | 'location'
  | 'timing'
  | 'high-speed';

/** One clip, which carrier it shows, and what a reader must find in it. */
export interface CarrierTruth {
  readonly file: string;
  readonly carrier: Carrier;
  readonly what: string;
  readonly frames: number;
  readonly clip: ClipFacts;
  readonly samples: readonly ExposureSample[];
}

/** Makes one clip at the path it is given and says what is in it. */
export interface CarrierMaker {
  readonly file: string;
  readonly make: (path: string, ffmpeg: string) => Promise<Omit<CarrierTruth, 'file'>>;
}
