/*
 * A second card, with one fault planted in each recording, bracket or series, or none. All of it is tiny. The light on
 * the scene is the same all through, EV 12.6 at ISO 100, unless a fault says otherwise: log2(2.8^2 x 50) = 8.61 with a
 * filter of four stops.
 */

/** Something too bright, too red, too blue, or black, over part of the picture; specks are many and far apart. */
export interface Patch {
  readonly shape: 'disc' | 'area' | 'specks';
  readonly tone: 'white' | 'black' | 'red' | 'blue';
  readonly fraction: number;
  readonly startSeconds?: number;
  readonly endSeconds?: number;
}

/** What black frames the scene: bars at top and bottom or the surround of a fisheye; a title hides it. */
export type Cover = 'bars' | 'circle' | 'title';

export interface PlantedClip {
  readonly file: string;
  readonly recordedAt: string;
  /** "25" or "30000/1001". */
  readonly rate: string;
  readonly seconds: number;
  /** As the camera wrote them; nothing is recorded where absent. */
  readonly exposure?: string;
  /** Of the last cue; the cues between move by equal ratios. */
  readonly exposureAtEnd?: string;
  /** A sidecar that says another exposure. */
  readonly contradiction?: string;
  readonly iso: number;
  readonly fNumber: number;
  /** Absent where the camera has no meter. */
  readonly meteredOffsetStops?: number;
  readonly levelStops: number;
  readonly panPixelsPerFrame: number;
  readonly captureRate?: string;
  readonly patch?: Patch;
  readonly cover?: Cover;
  /** From black, for so long. */
  readonly fadeInSeconds?: number;
  /** Every so manieth frame is left out. */
  readonly leaveOutEvery?: number;
  /** What the notes say was on the lens; absent where they say nothing. */
  readonly fitted?: string;
  /** Kinds of findings. */
  readonly planted: readonly string[];
}

export interface PlantedStill {
  readonly file: string;
  readonly recordedAt: string;
  readonly exposure: string;
  readonly fNumber: number;
  readonly iso: number;
  readonly biasStops: number;
  readonly levelStops: number;
  readonly latitude?: number;
  readonly longitude?: number;
  /** Over the start. */
  readonly heightMetres?: number;
  /** Of the camera: -90 is straight down. */
  readonly pitchDegrees?: number;
  readonly headingDegrees?: number;
  /** On 35 mm film. */
  readonly equivalentFocalLengthMm?: number;
  /** Exif ExposureProgram; absent where the camera writes none. */
  readonly isManual?: boolean;
  readonly patch?: Patch;
  readonly cover?: Cover;
  /** One channel of 16 bits, as sensors of heat write it. */
  readonly isRaster?: boolean;
  readonly fitted?: string;
  readonly planted: readonly string[];
}

export interface PlantedSequence {
  readonly kind: 'bracket' | 'interval' | 'mapping' | 'panorama' | 'burst';
  readonly stills: readonly PlantedStill[];
  /** The notes say that it is a time-lapse. */
  readonly isNoted?: boolean;
  readonly planted: readonly string[];
}

/** Local time of the invented place, eight hours behind UTC; the whole flight takes less than an hour. */
export function momentAt(seconds: number): string {
  return new Date(Date.UTC(2026, 5, 2, 9) + seconds * 1000).toISOString();
}
