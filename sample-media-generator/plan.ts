/** What the generator is told about the card: data only, no rendering. All exposures and rates are exact ratios as text. */

interface Motion {
  /** Of the ground across the stored picture, + = to the right and down. */
  readonly dxPixelsPerFrame: number;
  readonly dyPixelsPerFrame: number;
}

/** Something too bright to record. Fractions and seconds are aims; the truth is counted on the rendered frames. */
export interface Highlight {
  readonly shape: 'disc' | 'area';
  readonly region: 'top' | 'left' | 'corner' | 'centre';
  readonly fraction: number;
  readonly startSeconds?: number;
  readonly endSeconds?: number;
}

/** Three ways of writing the same telemetry as text, invented for this card. */
export type Arrangement = 'pairs' | 'lines' | 'list';

export type Carrier =
  | {
      readonly in: 'subrip-sidecar' | 'text-track';
      readonly arrangement: Arrangement;
      readonly everyFrame?: boolean;
    }
  | { readonly in: 'xmp-sidecar' | 'xmp-embedded' };

export interface Exposure {
  /** What the camera wrote: "1/50". */
  readonly exposure: string;
  readonly fNumber: number;
  readonly iso: number;
  readonly meteredOffsetStops: number;
}

export type Encoding = 'h264' | 'h264-full-range' | 'hevc-10' | 'hevc-10-hlg';

export interface ClipPlan extends Exposure {
  readonly file: string;
  /** "24000/1001" */
  readonly rate: string;
  readonly seconds: number;
  readonly encoding: Encoding;
  /** Stored raster. */
  readonly width: number;
  readonly height: number;
  readonly rotationDegrees: 0 | 90;
  readonly motion: Motion;
  readonly carriers: readonly Carrier[];
  readonly recordedAt: string;
  readonly highlights: readonly Highlight[];
  /** The exposure with which the last frame is taken; the frames between move towards it by equal ratios. */
  readonly exposureAtEnd?: string;
  /** A second carrier that says another exposure. */
  readonly contradiction?: string;
  /** Faults on purpose, in plain words. */
  readonly planted: readonly string[];
}

type StillFormat = 'jpeg' | 'tiff' | 'png' | 'webp';

export interface StillPlan extends Exposure {
  readonly file: string;
  readonly format: StillFormat;
  readonly width: number;
  readonly height: number;
  /** EXIF Orientation: 1 upright, 6 to be turned clockwise by 90 degrees. */
  readonly orientation: 1 | 6;
  /** How much brighter than normal the picture was taken. */
  readonly biasStops: number;
  readonly autoBracket: boolean;
  readonly recordedAt: string;
  /** Where in the scene, in its samples, counted from the place that `seed` picks. */
  readonly offset: { readonly x: number; readonly y: number };
  readonly seed: number;
  /** Way of the ground while the shutter was open, in pixels. */
  readonly blur: { readonly x: number; readonly y: number };
  readonly highlights: readonly Highlight[];
  readonly planted: readonly string[];
}

export interface SequencePlan {
  readonly kind: 'bracket' | 'interval';
  readonly stills: readonly StillPlan[];
  readonly intervalSeconds: number;
}
