import { spawnSync } from 'node:child_process';
import { existsSync, readdirSync } from 'node:fs';
import path from 'node:path';
import sharp from 'sharp';
import { decodeSrgb } from '../../src/domain/transferCurves.ts';
import { randomNumbers, waveTexture } from '../measuring/texture.ts';

/** Light of one scene, sorted; any unit. */
export interface SceneLight {
  readonly source: string;
  readonly light: Float64Array;
}

export interface Brightened {
  readonly source: string;
  readonly clippedFraction: number;
  /** Share of the picture within half a stop of the ceiling or above it. */
  readonly nearlyClippedFraction: number;
  /** By how much the picture should have been darker for the accepted share to be lost. */
  readonly overStops: number;
}

const accepted = 0.01;
/** The ceiling counts from 98% of the signal: 95% of the light of white. */
const ceilingLight = 0.95;

export function shareAbove(light: Float64Array, level: number): number {
  let [from, to] = [0, light.length];
  while (from < to) {
    const middle = (from + to) >> 1;
    if (light[middle]! < level) from = middle + 1;
    else to = middle;
  }
  return (light.length - from) / light.length;
}

/** The same scene taken brighter and brighter. */
export function brightened({ source, light }: SceneLight): readonly Brightened[] {
  const rightCeiling = light[Math.floor((1 - accepted) * (light.length - 1))]!;
  const rows: Brightened[] = [];
  for (let overStops = 0.15; overStops < 4; overStops += 0.23) {
    const ceiling = rightCeiling * 2 ** -overStops * ceilingLight;
    const clippedFraction = shareAbove(light, ceiling);
    const nearlyClippedFraction = shareAbove(light, ceiling / Math.SQRT2);
    if (clippedFraction > accepted && clippedFraction <= 0.9)
      rows.push({ source, clippedFraction, nearlyClippedFraction, overStops });
  }
  return rows;
}

const realMedia = path.resolve(import.meta.dirname, '../../../shared/real-media');

/** Pictures that nobody here made; none where the folder is absent. Those that clip themselves tell nothing. */
export async function realScenes(folder = realMedia): Promise<readonly SceneLight[]> {
  if (!existsSync(folder)) return [];
  const scenes: SceneLight[] = [];
  for (const name of readdirSync(folder)) {
    if (!/^(?!hlg|pq|damaged).*\.(jpe?g|png|mp4|mov|mkv)$/i.test(name)) continue;
    const file = path.join(folder, name);
    const pictures = /\.(jpe?g|png)$/i.test(name) ? [file] : ['0.2', '1.5'].map((at) => frameOf(file, at));
    for (const picture of pictures) {
      const light = await lightOf(picture).catch(() => undefined);
      if (light !== undefined && shareAbove(light, decodeSrgb(250 / 255)) <= accepted)
        scenes.push({ source: name.replace(/-\d+\.jpg$/, ''), light });
    }
  }
  return scenes;
}

function frameOf(file: string, atSeconds: string): Buffer {
  const args = [
    '-v',
    'error',
    '-ss',
    atSeconds,
    '-i',
    file,
    '-frames:v',
    '1',
    '-c:v',
    'png',
    '-f',
    'image2pipe',
    '-',
  ];
  return spawnSync('ffmpeg', args, { maxBuffer: 1 << 28 }).stdout;
}

async function lightOf(picture: string | Buffer): Promise<Float64Array> {
  const small = sharp(picture, { ignoreIcc: true }).resize(800, 800, { fit: 'inside', kernel: 'nearest' });
  const codes = await small.removeAlpha().toColourspace('srgb').raw().toBuffer();
  const decode = (at: number): number => decodeSrgb(codes[at]! / 255);
  return Float64Array.from(
    { length: codes.length / 3 },
    (_, i) => 0.2126 * decode(3 * i) + 0.7152 * decode(3 * i + 1) + 0.0722 * decode(3 * i + 2),
  ).sort();
}

/** Ground with a sky of its own brightness and glow, sometimes a sun, always a few glints. */
export function renderedScene(seed: number): SceneLight {
  const random = randomNumbers(1000 + seed * 77);
  for (let i = 0; i < 20; i++) random();
  const [ground, sky] = [waveTexture(seed + 1, 24), waveTexture(500 + seed, 10)];
  const [width, height] = [160, 90];
  const contrast = 0.4 + 1.1 * random();
  const horizon = random() < 0.75 ? height * (0.1 + 0.5 * random()) : 0;
  const skyStops = 0.5 + 2.5 * random();
  const skyContrast = 0.15 + 0.6 * random();
  const glow = random() < 0.5 ? 1.5 + 2 * random() : 0;
  const [sunX, sun] = [width * random(), random() < 0.3];
  const light = Float64Array.from({ length: width * height }, (_, i) => {
    const [x, y] = [i % width, Math.floor(i / width)];
    if (y >= horizon)
      return 2 ** (contrast * ground(x * 4, y * 4) + (random() < 0.004 ? 2 + 3 * random() : 0));
    const distance = Math.hypot(x - sunX, y - horizon * 0.6);
    const bright = skyStops + skyContrast * sky(x, y) + glow * Math.exp(-distance / 25);
    return 2 ** (bright + (sun && distance < 3 ? 6 : 0));
  }).sort();
  return { source: `rendered ${seed}`, light };
}
