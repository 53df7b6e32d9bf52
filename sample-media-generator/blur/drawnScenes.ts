import { randomStream } from '../random.ts';
import type { LightPicture } from './blurCase.ts';

// Everything is drawn twice as fine as the picture will be, so that a camera can be placed between pixels.
const width = 4096;
const height = 2560;

type Random = () => number;

/** Shapes that hide one another, sizes by a power law: the usual model of natural pictures ("dead leaves"). */
interface Shapes {
  readonly smallest: number;
  readonly largest: number;
  /** Sizes follow size^-power. */
  readonly power: number;
  readonly count: number;
  /** Length over width; 1 gives discs. */
  readonly elongation: number;
  readonly textured: number;
}

const shapeScenes: Readonly<Record<string, Shapes>> = {
  leaves: { smallest: 3, largest: 300, power: 2.9, count: 220_000, elongation: 1, textured: 0.1 },
  gravel: { smallest: 5, largest: 40, power: 2.5, count: 160_000, elongation: 1.3, textured: 0.25 },
  grass: { smallest: 1.2, largest: 3.5, power: 2, count: 260_000, elongation: 16, textured: 0.05 },
  fields: { smallest: 6, largest: 240, power: 2.6, count: 60_000, elongation: 2.5, textured: 0.3 },
};

export function drawScene(name: string): LightPicture | undefined {
  const random = randomStream(name.length * 97 + name.charCodeAt(0));
  const shapes = shapeScenes[name];
  if (shapes !== undefined) return scattered(shapes, random);
  if (name === 'town') return town(random);
  return name === 'clouded' ? grain(random, [1, 1.6, 2.6, 4, 7, 12, 20, 34], 1.05) : undefined;
}

function scattered(shapes: Shapes, random: Random): LightPicture {
  const light = new Float32Array(width * height).fill(0.25);
  const [a, b] = [shapes.smallest ** (1 - shapes.power), shapes.largest ** (1 - shapes.power)];
  for (let i = 0; i < shapes.count; i++) {
    const size = (a + (b - a) * random()) ** (1 / (1 - shapes.power));
    const tone = 0.04 + 0.75 * random() ** 1.8;
    ellipse(light, random, {
      size,
      tone,
      elongation: 1 + (shapes.elongation - 1) * random(),
      textured: shapes.textured,
    });
  }
  return { width, height, light };
}

function ellipse(
  light: Float32Array,
  random: Random,
  shape: { size: number; tone: number; elongation: number; textured: number },
): void {
  const turn = random() * Math.PI;
  const [cos, sin] = [Math.cos(turn), Math.sin(turn)];
  const [cx, cy] = [random() * width, random() * height];
  const long = shape.size * shape.elongation;
  const [slopeX, slopeY] = [(random() - 0.5) / long, (random() - 0.5) / long];
  const bottom = Math.min(height - 1, Math.ceil(cy + long));
  const right = Math.min(width - 1, Math.ceil(cx + long));
  for (let y = Math.max(0, Math.floor(cy - long)); y <= bottom; y++) {
    for (let x = Math.max(0, Math.floor(cx - long)); x <= right; x++) {
      const along = ((x - cx) * cos + (y - cy) * sin) / long;
      const across = ((y - cy) * cos - (x - cx) * sin) / shape.size;
      const inside = (1 - Math.hypot(along, across)) * shape.size + 0.5;
      if (inside <= 0) continue;
      const shade = 1 + (x - cx) * slopeX + (y - cy) * slopeY + shape.textured * (random() - 0.5);
      const cover = Math.min(1, inside);
      light[y * width + x]! += (shape.tone * shade - light[y * width + x]!) * cover;
    }
  }
}

/** Blocks of houses with their edges along the picture's, and roofs ruled with lines: repeated and one-directional. */
function town(random: Random): LightPicture {
  const light = new Float32Array(width * height).fill(0.05);
  for (let y = 0; y < height; y += 300) {
    for (let x = 0; x < width; x += 400) {
      for (let left = x + 48; left < x + 390;) {
        const right = Math.min(x + 390, left + 36 + Math.floor(random() * 84));
        const bottom = Math.min(y + 290, y + 108 + Math.floor(random() * 170));
        const tone = 0.02 + 0.7 * random() ** 2;
        for (let row = y + 48; row < Math.min(bottom, height); row++) {
          const ruled = (row - y) % 14 < 2 ? 0.5 + random() * 0.9 : 1;
          light.fill(tone * ruled, row * width + left, row * width + Math.min(right, width));
        }
        left = right + 6 + Math.floor(random() * 18);
      }
    }
  }
  const weathering = grain(random, [1, 3, 9], 1).light;
  for (let i = 0; i < light.length; i++) light[i]! *= 0.85 + 0.4 * weathering[i]!;
  return { width, height, light };
}

/** Gaussian noise smoothed to several widths and added, coarser grains stronger: equal in all directions. */
function grain(random: Random, sigmas: readonly number[], growth: number): LightPicture {
  const light = new Float32Array(width * height).fill(0.35);
  for (const sigma of sigmas) {
    const layer = new Float32Array(width * height);
    let state = Math.floor(random() * 2 ** 31) | 1;
    for (let i = 0; i < layer.length; i++) {
      // xorshift, Marsaglia 2003: quick, and evenly spread is enough here.
      state ^= state << 13;
      state ^= state >>> 17;
      state ^= state << 5;
      layer[i] = state / 2 ** 31;
    }
    for (let pass = 0; pass < 3; pass++) smooth(layer, Math.max(1, Math.round(sigma * 1.1)));
    let power = 0;
    for (let i = 0; i < layer.length; i += 7) power += layer[i]! ** 2 / (layer.length / 7);
    const gain = (0.022 * sigma ** (0.42 * growth)) / Math.sqrt(power);
    for (let i = 0; i < light.length; i++) light[i]! += layer[i]! * gain;
  }
  for (let i = 0; i < light.length; i++) light[i] = Math.min(1, Math.max(0.004, light[i]!));
  return { width, height, light };
}

/** Box means of 2 × radius + 1 texels along rows and then columns, wrapped round; three in a row are near a Gaussian. */
function smooth(layer: Float32Array, radius: number): void {
  for (let row = 0; row < height; row++) boxLine(layer, row * width, 1, width, radius);
  for (let column = 0; column < width; column++) boxLine(layer, column, width, height, radius);
}

function boxLine(layer: Float32Array, start: number, step: number, length: number, radius: number): void {
  const values = Float32Array.from({ length }, (_, i) => layer[start + i * step]!);
  let sum = 0;
  for (let i = -radius; i <= radius; i++) sum += values[(i + length) % length]!;
  for (let i = 0; i < length; i++) {
    layer[start + i * step] = sum / (2 * radius + 1);
    sum += values[(i + radius + 1) % length]! - values[(i - radius + length) % length]!;
  }
}
