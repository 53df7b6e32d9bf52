import { randomStream } from '../random.ts';
import { usualCamera, type BlurCase } from './blurCase.ts';

const angles = [8, 16, 30, 45, 60, 75, 90, 110, 130, 160, 172.8, 180, 200, 225, 270, 300, 340] as const;

/**
 * Flights over planes that lie at a slant, as a drone's gimbal camera sees the ground: what flies, films and encodes is
 * drawn for each anew. Two moments of three frames, as an audit looks at them; a 16:9 part of 1080p at its share of the
 * bits of a camera.
 */
export function droneCases(
  scenes: readonly string[],
  { count, seed }: { readonly count: number; readonly seed: number },
): readonly BlurCase[] {
  const random = randomStream(seed);
  const between = (low: number, high: number): number => low + (high - low) * random();
  return Array.from({ length: count }, (_, i) => {
    const angleDegrees = angles[Math.floor(random() * angles.length)]!;
    const pixelsPerFrame = 3 * (40 / 3) ** random();
    const codec = random() < 0.5 ? 'h264' : 'h265';
    const isHdr = codec === 'h265' && random() < 0.2;
    const noiseCodes = between(0.8, 4);
    return {
      ...usualCamera,
      id: `drone-${seed}-${i}-a${angleDegrees}-s${pixelsPerFrame.toFixed(1)}-${codec}`,
      scene: scenes[i % scenes.length]!,
      move: 'flight',
      pixelsPerFrame,
      directionDegrees: 0,
      angleDegrees,
      frames: 6,
      momentFrames: 3,
      width: 1024,
      height: 576,
      bitDepth: isHdr ? 10 : 8,
      transfer: isHdr ? 'hlg' : 'bt709',
      seed: seed + i,
      pitchDegrees: between(35, 90),
      headingDegrees: random() < 0.5 ? 0 : between(-180, 180),
      turnDegreesPerFrame: random() < 0.3 ? between(-0.6, 0.6) : 0,
      vibrationPixels: between(0, 0.8),
      readoutFraction: between(0.2, 0.9),
      lensSigmaPixels: between(0.5, 1.1),
      noiseCodes,
      denoiseSignal: random() < 0.5 ? noiseCodes / 80 : undefined,
      sharpening: { amount: between(0.1, 1.3), sigmaPixels: 1 },
      compression: { codec, megabitsPerSecond: codec === 'h264' ? between(7, 20) : between(4, 12) },
    };
  });
}
