import type { TransferCurve } from '../transferCurves.ts';

export type CameraMove = 'pan' | 'flight' | 'zoom' | 'roll' | 'parallax';

interface Sharpening {
  /** Share of the difference to the smoothed picture that is added. */
  readonly amount: number;
  readonly sigmaPixels: number;
}

/** What the encoder is asked for; absent: the frames stay as the camera made them. */
export interface Compression {
  readonly codec: 'h264' | 'h265';
  readonly megabitsPerSecond: number;
}

/** One piece of footage whose shutter is known because it is rendered with it. */
export interface BlurCase {
  readonly id: string;
  readonly scene: string;
  /** The near layer of `parallax`. */
  readonly nearScene?: string;
  readonly move: CameraMove;
  /** Of the picture's centre; of a point 500 pixels from it for `zoom` and `roll`; of the near layer for `parallax`. */
  readonly pixelsPerFrame: number;
  readonly directionDegrees: number;
  readonly angleDegrees: number;
  readonly frames: number;
  readonly width: number;
  readonly height: number;
  readonly bitDepth: 8 | 10;
  readonly seed: number;
  readonly transfer: 'bt709' | 'hlg' | 'flat-log';
  /** Time from the first row to the last, as a share of the frame time. */
  readonly readoutFraction?: number;
  /** Change of speed per frame, as a share of the speed. */
  readonly accelerationFraction?: number;
  readonly vibrationPixels?: number;
  /** Of a `flight`: how far the camera looks down, where it flies, 0 forward and 90 to the right, and how fast it circles. */
  readonly pitchDegrees?: number;
  readonly headingDegrees?: number;
  readonly turnDegreesPerFrame?: number;
  /** The frames are of moments of so many consecutive ones each; all of one moment unless told. */
  readonly momentFrames?: number;
  readonly lensSigmaPixels: number;
  /** Standard deviation at mid-grey, in 8-bit codes. */
  readonly noiseCodes: number;
  /** Edge-keeping smoothing in the camera: the step in signal, [0, 1], that it takes for noise. */
  readonly denoiseSignal?: number;
  readonly sharpening?: Sharpening;
  readonly compression?: Compression;
  /** A later change of frame rate: every picture twice, each fourth twice, or pictures mixed from their neighbours. */
  readonly conversion?: 'doubled' | 'four-to-five' | 'mixed';
}

/** Rows of scene light, 1 = nominal peak. */
export interface LightPicture {
  readonly width: number;
  readonly height: number;
  readonly light: Float32Array;
}

/** A flat logarithmic curve of no make in particular, log2(1 + 64 x) scaled into 0.05 to 0.90 of the signal. */
export const flatLog: TransferCurve = (light) => (Math.log2(1 + 64 * light) / Math.log2(65)) * 0.85 + 0.05;

/** A camera's usual weather: some noise, some sharpening, 30 Mb/s of H.264. */
export const usualCamera = {
  frames: 6,
  width: 1920,
  height: 1080,
  bitDepth: 8,
  transfer: 'bt709',
  lensSigmaPixels: 0.55,
  noiseCodes: 1.5,
  sharpening: { amount: 0.6, sigmaPixels: 1 },
  compression: { codec: 'h264', megabitsPerSecond: 30 },
} as const satisfies Partial<BlurCase>;
