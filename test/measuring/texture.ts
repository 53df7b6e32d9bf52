import type { Luma } from '../../src/measuring/luma.ts';

interface Shift {
  readonly x: number;
  readonly y: number;
}

/** A picture without pixels: its value anywhere is a sum of waves, so a shift by any fraction of a pixel is exact. */
export type Texture = (x: number, y: number) => number;

export function randomNumbers(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 2 ** 32;
  };
}

/** Waves from long to short (1 over frequency, as in photographs), none above 0.25 cycles per pixel. */
export function waveTexture(seed: number, waves = 40): Texture {
  const random = randomNumbers(seed);
  const terms = Array.from({ length: waves }, (_, i) => {
    const frequency = 0.004 * (0.25 / 0.004) ** (i / (waves - 1));
    const angle = 2 * Math.PI * random();
    return {
      fx: 2 * Math.PI * frequency * Math.cos(angle),
      fy: 2 * Math.PI * frequency * Math.sin(angle),
      phase: 2 * Math.PI * random(),
      amplitude: frequency ** -0.5,
    };
  });
  const norm = Math.hypot(...terms.map(({ amplitude }) => amplitude)) / Math.SQRT2;
  return (x, y) =>
    terms.reduce(
      (sum, { fx, fy, phase, amplitude }) => sum + amplitude * Math.cos(fx * x + fy * y + phase),
      0,
    ) / norm;
}

export interface RenderOptions {
  readonly width: number;
  readonly height: number;
  readonly bitDepth?: 8 | 10;
  readonly shift?: Shift;
  readonly noise?: () => number;
}

/** Renders the texture moved by `shift` (content moves right and down for positive numbers) around mid codes. */
export function renderLuma(
  texture: Texture,
  options: RenderOptions,
): Luma & { codes: Uint8Array | Uint16Array } {
  const { width, height, bitDepth = 8, shift = { x: 0, y: 0 }, noise } = options;
  const scale = 2 ** (bitDepth - 8);
  const codes = bitDepth === 8 ? new Uint8Array(width * height) : new Uint16Array(width * height);
  for (let y = 0, i = 0; y < height; y++)
    for (let x = 0; x < width; x++, i++) {
      const value = 125 + 30 * texture(x - shift.x, y - shift.y) + (noise?.() ?? 0);
      codes[i] = Math.round(Math.min(235, Math.max(16, value)) * scale);
    }
  return { width, height, codes };
}
