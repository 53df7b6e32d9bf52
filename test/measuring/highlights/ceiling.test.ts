import { describe, expect, test } from 'vitest';
import { planFrameMeter } from '../../../src/measuring/frameMeter.ts';
import { ceilingEvidence, clipCeiling } from '../../../src/measuring/highlights/ceiling.ts';
import { histogramOf } from '../../../src/measuring/histograms.ts';
import { codeRange } from '../../../src/measuring/videoCodes.ts';
import { everything } from '../../everything.ts';
import { factsOf } from '../encodeClip.ts';
import { randomNumbers, waveTexture } from '../texture.ts';

// A bright sky that is even is no ceiling, and a sensor that ends below the peak of a log curve is one. What tells them
// apart is made here, so it is known: a sensor that is full has no noise, and a sky has some.

const size = { width: 320, height: 180 };
const area = size.width * size.height;
const pictures = 6;

/** Normal numbers from uniform ones (Box and Muller, 1958). */
function normalNumbers(seed: number): () => number {
  const random = randomNumbers(seed);
  for (let i = 0; i < 20; i++) random();
  return () => Math.sqrt(-2 * Math.log(1 - random() || 1e-9)) * Math.cos(2 * Math.PI * random());
}

interface Scene {
  readonly bitDepth: 8 | 10;
  /** Signal at a place of the picture before noise. */
  readonly signal: (x: number, y: number, picture: number) => number;
  /** Standard deviation of the noise of the sensor, in signal. */
  readonly noise: number;
  /** Signal at which the sensor is full; what lies above is cut off, noise and all. */
  readonly sensorEnd?: number;
}

/** Codes in narrow range (BT.709-6, item 4.6). */
function metered({ bitDepth, signal, noise, sensorEnd = 1.09 }: Scene) {
  const meter = planFrameMeter(factsOf({ transfer: 'bt709', range: 'narrow', bitDepth }), {
    ...size,
    bitDepth,
  });
  const scale = 2 ** (bitDepth - 8);
  const normal = normalNumbers(bitDepth);
  const plane = (length: number) => (bitDepth === 8 ? new Uint8Array(length) : new Uint16Array(length));
  for (let picture = 0; picture < pictures; picture++) {
    const luma = plane(area);
    for (let i = 0; i < area; i++) {
      const [x, y] = [i % size.width, Math.floor(i / size.width)];
      const value = Math.min(sensorEnd, signal(x, y, picture) + noise * normal());
      luma[i] = Math.max(0, Math.round((16 + 219 * value) * scale));
    }
    const grey = () => plane(area / 4).fill(128 * scale);
    meter.measure({ ...size, bitDepth, atSeconds: picture, luma, cb: grey(), cr: grey() });
  }
  return meter.result();
}

const ground = waveTexture(3, 16);
const groundAt = (x: number, y: number, picture: number): number => 0.3 + 0.09 * ground(x - 2 * picture, y);
const horizon = 90;

const skies = everything ? [0.6, 0.7, 0.75, 0.8, 0.85, 0.9, 0.95] : [0.6, 0.8, 0.95];
const sensorEnds = everything ? [0.72, 0.75, 0.8, 0.85, 0.9] : [0.72, 0.9];
// 0.0015 is an eighth of a step of 8 bits: a denoised sky is flat in its codes.
const noises = [0.0015, 0.004, 0.01];

describe.each([8, 10] as const)('%d bits', (bitDepth) => {
  describe.each(noises)('noise of %d', (noise) => {
    test.each(skies)('an overcast sky at %d of the signal is not the end of the sensor', (level) => {
      const { ceiling, frames } = metered({
        bitDepth,
        noise,
        signal: (x, y, picture) => (y < horizon ? level : groundAt(x, y, picture)),
      });
      expect(ceiling.basis).toBe('nominal');
      for (const { clippedFraction } of frames) expect(clippedFraction).toBeLessThan(0.002);
    });

    test.each(skies)('nor is one that brightens by 0.02 towards the horizon, up to %d', (level) => {
      const { ceiling, frames } = metered({
        bitDepth,
        noise,
        signal: (x, y, picture) => (y < horizon ? level - 0.02 * (1 - y / horizon) : groundAt(x, y, picture)),
      });
      expect(ceiling.basis).toBe('nominal');
      for (const { clippedFraction } of frames) expect(clippedFraction).toBeLessThan(0.002);
    });

    test.each(sensorEnds)('a sensor that ends at %d is found', (sensorEnd) => {
      // A cloudy sky from below the end of the sensor to well above it, as a moving camera sees it.
      const cloud = waveTexture(8, 10);
      const at = (x: number, y: number, picture: number): number =>
        y < horizon ? sensorEnd + 0.06 * cloud(x - 3 * picture, y) : groundAt(x, y, picture);
      const { ceiling, frames } = metered({ bitDepth, noise, sensorEnd, signal: at });
      expect(ceiling.basis).toBe('observed');
      frames.forEach((frame, picture) => {
        const lost = shareOf((x, y) => at(x, y, picture) >= sensorEnd);
        expect(Math.abs(frame.clippedFraction - lost)).toBeLessThan(noise * 3 + 0.01);
      });
    });
  });
});

function shareOf(inside: (x: number, y: number) => boolean): number {
  let count = 0;
  for (let i = 0; i < area; i++) if (inside(i % size.width, Math.floor(i / size.width))) count++;
  return count / area;
}

// Codes of 100% colour bars in BT.709 (items 3.2 and 3.3): yellow has luma 0.9278 and its red and green are at the peak.
test('the luma of a yellow wall is no ceiling where red and green go on above it', () => {
  const codes = codeRange('narrow', 8);
  const yellow = Math.round(16 + 219 * 0.9278);
  const luma = new Uint8Array(10_000).fill(60).fill(yellow, 0, 3000);
  luma.fill(yellow - 10, 3000, 3200);
  const highest = luma.map((code) => (code === yellow ? 235 : code));
  const evidence = (channels: Uint8Array) =>
    ceilingEvidence(histogramOf(luma, 8), codes, histogramOf(channels, 8));
  expect(clipCeiling('bt709', 'narrow', Array(4).fill(evidence(highest))).basis).toBe('nominal');
  // The same luma without colour is what a full sensor leaves.
  expect(clipCeiling('bt709', 'narrow', Array(4).fill(evidence(luma))).basis).toBe('observed');
});
