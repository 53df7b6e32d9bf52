import type { FrameRate } from './frameRate.ts';

export type RecordingKind = 'clip' | 'still';

/** Transfer functions that the measuring code can undo. Anything else stays absent. */
export type TransferName = 'bt709' | 'srgb' | 'hlg' | 'pq' | 'linear';

/** `narrow`: black 16, white 235 (8 bit). `full`: black 0, white 255. ITU-R BT.2100 table 9 names both. */
export type RangeName = 'narrow' | 'full';

/** `repeating`: evenly timed, with gaps of whole frames, for which the frame before is shown again. */
type FrameTiming = 'constant' | 'variable' | 'repeating';

/**
 * How the pictures of a clip in fields were taken: `interlaced`, one field after the other; `progressive-in-fields`, both
 * at one moment; `fields`, nobody knows which.
 */
export type ScanName = 'fields' | 'interlaced' | 'progressive-in-fields';

/** Everything that can be known of a recording without looking at its picture. Units are in the names. */
export interface FactValues {
  /** ISO 8601; carries an offset only where one was recorded. */
  recordedAt: string;
  durationSeconds: number;
  frameCount: number;
  /** As displayed, after rotation. */
  width: number;
  /** As displayed, after rotation. */
  height: number;
  /** Clockwise turn that the player must apply: 0, 90, 180 or 270. */
  rotationDegrees: number;
  /** Capture rate: what the shutter worked against. */
  frameRate: FrameRate;
  playbackFrameRate: FrameRate;
  /** Only of clips whose pictures are stored as two fields each. */
  scan: ScanName;
  /** Looked at only where what the file says of its rate does not fit together. */
  frameTiming: FrameTiming;
  /** Share of the frames that do not follow the one before by the usual time; [0, 1]. */
  irregularFrameFraction: number;
  /** > 0, as all numbers of settings. */
  exposureSeconds: number;
  fNumber: number;
  iso: number;
  /** The compensation that was dialled in; + = brighter. */
  exposureBiasStops: number;
  /** What the camera's meter said; + = over. */
  meteredOffsetStops: number;
  /** What telemetry calls EV, where nothing tells whether it was dialled in or metered. Shown, and used nowhere. */
  evAsReadStops: number;
  /** Of the lens itself in EXIF; telemetry text mostly holds its equivalent on 35 mm film (common practice, no source). */
  focalLengthMm: number;
  /** The focal length with the same view on 35 mm film. */
  equivalentFocalLengthMm: number;
  /** Degrees, [-90, 90], + = north. */
  latitude: number;
  /** Degrees, [-180, 180], + = east. */
  longitude: number;
  /** Above sea level; where the source says so, above the ellipsoid. */
  altitudeMetres: number;
  /** Over the place of take-off, + = above it. */
  heightOverStartMetres: number;
  /** >= 0; of the aircraft, over ground. */
  groundSpeedMetresPerSecond: number;
  /** Where the camera looks, clockwise from north, [0, 360]. */
  headingDegrees: number;
  /** Where the camera looks: 0 the horizon, -90 straight down; [-180, 180]. */
  cameraPitchDegrees: number;
  /** ND strength that the camera itself recorded (a built-in wheel), in stops removed. */
  recordedFilterStops: number;
  transfer: TransferName;
  range: RangeName;
  /** Bits of one channel as they are stored. */
  bitDepth: number;
  /** A short name of the coding, such as "hevc"; of a still, of its file format. */
  codec: string;
  /** Maker and model, as one text. */
  camera: string;
  /** SMPTE ST 12-1 label of the first frame: "10:00:00:00", with ";" before the frames for drop-frame. */
  startTimecode: string;
  /** This one and the next two: words of the Exif standard, or those that the camera wrote. */
  exposureProgram: string;
  meteringMode: string;
  whiteBalance: string;
  /** Put together from several exposures, in general or while shooting (Exif CompositeImage 2 and 3). */
  composite: 'general' | 'while-shooting';
}

export type FactName = keyof FactValues;

/** One value as one reader saw it. `source` is for people: "EXIF ExposureTime", "SubRip sidecar CLIP0003.SRT". */
export interface Sighting<T> {
  readonly value: T;
  readonly source: string;
  /** Set on a time whose offset from UTC its clock did not write; the source says what told it. */
  readonly zoneWorkedOut?: true;
}

/** The value that was chosen, where it was read, and what other readers said where they disagree beyond rounding. */
export interface Fact<T> extends Sighting<T> {
  readonly others?: readonly Sighting<T>[];
}

export type Facts = { readonly [N in FactName]?: Fact<FactValues[N]> };

/** A value that was found and not believed. */
export interface Refusal {
  /** The fact that it claims to be, or the part of the file. */
  readonly what: string;
  /** As it stands in the file. */
  readonly raw: string;
  readonly source: string;
  /** The rest of a sentence that begins with the value: "is not a number". */
  readonly reason: string;
}

/** What the camera recorded for a stretch of a clip. Seconds count from the first frame; units are those of the facts. */
export interface TrackSample {
  readonly startSeconds: number;
  readonly endSeconds: number;
  readonly exposureSeconds?: number;
  readonly fNumber?: number;
  readonly iso?: number;
  readonly exposureBiasStops?: number;
  readonly meteredOffsetStops?: number;
  readonly evAsReadStops?: number;
  readonly whiteBalanceKelvin?: number;
  readonly focalLengthMm?: number;
  readonly latitude?: number;
  readonly longitude?: number;
  readonly altitudeMetres?: number;
  readonly heightOverStartMetres?: number;
  readonly groundSpeedMetresPerSecond?: number;
  readonly headingDegrees?: number;
  readonly cameraPitchDegrees?: number;
  /** Time between the exposure of the first row and that of the last. */
  readonly rollingShutterSkewSeconds?: number;
  /** What a built-in ND wheel was set to, in stops removed. */
  readonly recordedFilterStops?: number;
}

/** What one carrier recorded over time. */
export interface Track {
  readonly source: string;
  /** In the order of time; none reaches into the next. */
  readonly samples: readonly TrackSample[];
}

export interface Recording {
  /** Relative to the dump, "/" on every system, unprintable bytes escaped: for people and reports. */
  readonly path: string;
  readonly kind: RecordingKind;
  readonly sizeBytes: number;
  readonly facts: Facts;
  readonly track?: Track;
  readonly refusals: readonly Refusal[];
  /** What may hold more and could not be read, or not whole: "a data track (abcd)". */
  readonly unreadTracks?: readonly string[];
  /** Sidecars that were read for this recording, as paths relative to the dump. */
  readonly sidecars: readonly string[];
  /** 32 hex digits that copies of one recording share: of its length and of parts of its content. */
  readonly fingerprint?: string;
  /** Paths of copies of this recording, which are not audited for themselves. */
  readonly copies?: readonly string[];
  /** Path of the clip that this one goes on where that one was cut at the largest size that a card can hold. */
  readonly continues?: string;
}

/** Something that was done with a file and is no fault: which, and what, as the rest of a sentence. */
export interface Note {
  readonly path: string;
  /** Begins after the path: "is a copy of DCIM/100_AERO/CLIP0001.MP4". */
  readonly message: string;
}

/** A file or folder that could not be audited, or only in part: which, what is wrong, what to do. */
export interface Problem {
  readonly path: string;
  /** What is wrong, as the rest of a sentence that begins with the path: "is empty". */
  readonly message: string;
  readonly hint: string;
  /** More exactly, often in the words of another program; told of one file by itself, and in the document. */
  readonly detail?: string;
  /** Set where the path is that of the flight notes, which lie where they were found, and not of a file of the dump. */
  readonly about?: 'notes';
}
