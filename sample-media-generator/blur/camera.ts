import { randomStream } from '../random.ts';
import { bt709, CURVE_TABLE_STEPS, hlg, tabulate } from '../transferCurves.ts';
import { flatLog, type BlurCase } from './blurCase.ts';

const curves = { bt709: tabulate(bt709), hlg: tabulate(hlg), 'flat-log': tabulate(flatLog) } as const;
const midGrey = 0.2;
/** A table of normal deviates: drawing from it is enough for noise and much quicker than making each. */
const deviates = normalDeviates(65536);

/** What becomes of collected light on its way into a file: lens, sensor noise, curve, denoising, sharpening, codes. */
export function photograph(
  blur: BlurCase,
  light: Float32Array,
  frameIndex: number,
): Uint8Array | Uint16Array {
  const { width } = blur;
  gaussian(light, width, blur.lensSigmaPixels);
  if (blur.noiseCodes > 0) addNoise(light, blur, frameIndex);
  const curve = curves[blur.transfer];
  for (let i = 0; i < light.length; i++)
    light[i] = curve[(Math.min(1, Math.sqrt(Math.max(0, light[i]!))) * CURVE_TABLE_STEPS + 0.5) | 0]!;
  const signal = blur.denoiseSignal === undefined ? light : denoise(light, width, blur.denoiseSignal);
  if (blur.sharpening !== undefined) sharpen(signal, width, blur.sharpening);
  return codes(signal, blur.bitDepth);
}

function gaussian(picture: Float32Array, width: number, sigma: number): void {
  if (sigma <= 0) return;
  const radius = Math.ceil(3 * sigma);
  const kernel = Float64Array.from({ length: 2 * radius + 1 }, (_, i) =>
    Math.exp(-((i - radius) ** 2) / (2 * sigma ** 2)),
  );
  const total = kernel.reduce((sum, weight) => sum + weight, 0);
  for (const step of [1, width]) {
    const source = picture.slice();
    // The outermost pixels keep what they have.
    for (let i = radius * step; i < picture.length - radius * step; i++) {
      let sum = kernel[radius]! * source[i]!;
      for (let k = 1; k <= radius; k++)
        sum += kernel[radius + k]! * (source[i - k * step]! + source[i + k * step]!);
      picture[i] = sum / total;
    }
  }
}

/** Shot noise grows with the root of the light; 15% of the variance at mid-grey is the sensor's own. */
function addNoise(light: Float32Array, blur: BlurCase, frameIndex: number): void {
  const curve = { bt709, hlg, 'flat-log': flatLog }[blur.transfer];
  const slope = (curve(midGrey + 0.001) - curve(midGrey - 0.001)) / 0.002;
  const atMidGrey = blur.noiseCodes / 255 / slope;
  let state = (blur.seed * 7919 + frameIndex * 104729 + 12345) | 1;
  for (let i = 0; i < light.length; i++) {
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    const share = 0.15 + (0.85 * Math.max(0, light[i]!)) / midGrey;
    light[i]! += atMidGrey * Math.sqrt(share) * deviates[(state >>> 8) & 0xffff]!;
  }
}

function normalDeviates(count: number): Float32Array {
  const random = randomStream(2);
  return Float32Array.from(
    { length: count },
    () => Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random()),
  );
}

/** A bilateral mean over 5 × 5 pixels: differences well above `step` are taken for edges and kept. */
function denoise(signal: Float32Array, width: number, step: number): Float32Array {
  const likeness = Float32Array.from({ length: 1025 }, (_, i) => Math.exp(-((i / 1024 / step) ** 2) / 2));
  const nearness = [-2, -1, 0, 1, 2].map((d) => Math.exp(-(d * d) / (2 * 1.2 ** 2)));
  const out = signal.slice();
  for (let i = 2 * width + 2; i < signal.length - 2 * width - 2; i++) {
    let sum = 0;
    let total = 0;
    for (let dy = -2; dy <= 2; dy++) {
      for (let dx = -2; dx <= 2; dx++) {
        const value = signal[i + dy * width + dx]!;
        const alike = likeness[Math.min(1024, Math.abs(value - signal[i]!) * 1024) | 0]!;
        const weight = nearness[dy + 2]! * nearness[dx + 2]! * alike;
        sum += weight * value;
        total += weight;
      }
    }
    out[i] = sum / total;
  }
  return out;
}

function sharpen(
  signal: Float32Array,
  width: number,
  { amount, sigmaPixels }: NonNullable<BlurCase['sharpening']>,
): void {
  const soft = signal.slice();
  gaussian(soft, width, sigmaPixels);
  for (let i = 0; i < signal.length; i++) signal[i]! += amount * (signal[i]! - soft[i]!);
}

/** Narrow range, ITU-R BT.2100 table 9: black 16, white 235, times 2^(bits - 8). */
function codes(signal: Float32Array, bitDepth: 8 | 10): Uint8Array | Uint16Array {
  const scale = 2 ** (bitDepth - 8);
  const out = bitDepth === 8 ? new Uint8Array(signal.length) : new Uint16Array(signal.length);
  for (let i = 0; i < signal.length; i++)
    out[i] = Math.min(254 * scale, Math.max(scale, Math.round((16 + 219 * signal[i]!) * scale)));
  return out;
}
