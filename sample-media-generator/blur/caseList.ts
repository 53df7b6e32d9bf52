import { usualCamera, type BlurCase, type CameraMove } from './blurCase.ts';

export interface ListedCase extends BlurCase {
  readonly group: string;
  /** Unseen cases are scored once, after every limit is fixed. */
  readonly set: 'tuning' | 'unseen';
}

/** 16:9 cut from the middle of a 1080p picture, at that part's share of the bits: quicker to render, the same pixels. */
const cutOut = {
  ...usualCamera,
  width: 1280,
  height: 720,
  frames: 4,
  compression: { codec: 'h264', megabitsPerSecond: 13.3 },
} as const;
const ultraHd = {
  width: 3840,
  height: 2160,
  compression: { codec: 'h265', megabitsPerSecond: 100 },
} as const;

const angles = [11.25, 22.5, 45, 90, 120, 172.8, 180, 270, 360] as const;
const speeds = [3, 6, 10, 16, 30, 60] as const;
const scenes = [
  'leaves',
  'plants',
  'gravel',
  'path',
  'grass',
  'boats',
  'fields',
  'autumn',
  'clouded',
  'beasts',
  'town',
  'garden',
] as const;
const directions = [0, 90, 15, -35, 70, 130, 180] as const;

type Variation = Partial<Omit<BlurCase, 'id'>>;

/** What can be wrong with a camera or its files, beside the usual. */
const degradations: Readonly<Record<string, Variation>> = {
  'h265-low': { compression: { codec: 'h265', megabitsPerSecond: 6.7 } },
  'h264-low': { compression: { codec: 'h264', megabitsPerSecond: 4 } },
  'sharpened-hard': { sharpening: { amount: 1.5, sigmaPixels: 1.4 } },
  denoised: { noiseCodes: 4, denoiseSignal: 0.06, sharpening: { amount: 0.8, sigmaPixels: 1 } },
  noisy: { noiseCodes: 6, sharpening: { amount: 0.3, sigmaPixels: 1 } },
  soft: { lensSigmaPixels: 1.3, sharpening: { amount: 0.3, sigmaPixels: 1 } },
  defocused: { lensSigmaPixels: 2.5 },
  'flat-log': { transfer: 'flat-log' },
  'hlg-10': { transfer: 'hlg', bitDepth: 10, compression: { codec: 'h265', megabitsPerSecond: 13.3 } },
  shaking: { vibrationPixels: 2 },
};

/** Every case of the bench, in an order that draws each scene once. */
export function listCases(): readonly ListedCase[] {
  const list: ListedCase[] = [];
  const count = new Map<string, number>();
  const add = (
    group: string,
    variation: Variation & { move: CameraMove; angleDegrees: number; pixelsPerFrame: number },
  ) => {
    const index = list.length;
    const turn = count.get(group) ?? 0;
    count.set(group, turn + 1);
    const scene = scenes[(turn + Math.floor(turn / scenes.length) * 5) % scenes.length]!;
    const directionDegrees = directions[(turn * 3 + Math.floor(turn / 7)) % directions.length]!;
    const blur = { ...cutOut, scene, directionDegrees, seed: index + 1, ...variation };
    const id = [group, blur.scene, `a${blur.angleDegrees}`, `s${blur.pixelsPerFrame}`, index].join('-');
    list.push({ ...blur, id, group, set: hash(id) % 3 === 0 ? 'unseen' : 'tuning' });
  };
  for (const pixelsPerFrame of speeds)
    for (const angleDegrees of angles)
      for (let draw = 0; draw < 3; draw++) add('pan', { move: 'pan', angleDegrees, pixelsPerFrame });
  for (const move of ['flight', 'zoom', 'roll', 'parallax'] as const)
    for (const pixelsPerFrame of [10, 24])
      for (const angleDegrees of [22.5, 45, 90, 120, 180, 270, 360])
        add(move, { move, angleDegrees, pixelsPerFrame, nearScene: 'gravel' });
  for (const pixelsPerFrame of [12, 30])
    for (const angleDegrees of [22.5, 45, 90, 180, 270, 360])
      add('rolling-shutter', { move: 'pan', angleDegrees, pixelsPerFrame, readoutFraction: 0.6 });
  for (const [group, variation] of Object.entries(degradations))
    for (const angleDegrees of [45, 90, 172.8, 360])
      for (const pixelsPerFrame of [12, 20])
        add(group, { move: 'pan', angleDegrees, pixelsPerFrame, ...variation });
  for (const angleDegrees of [22.5, 90, 180, 360])
    for (const pixelsPerFrame of [16, 40])
      add('4k', { move: 'pan', angleDegrees, pixelsPerFrame, ...ultraHd, frames: 3 });
  for (const angleDegrees of [45, 120, 180, 270])
    for (const pixelsPerFrame of [14, 36])
      add('1080p', {
        move: 'pan',
        angleDegrees,
        pixelsPerFrame,
        ...usualCamera,
        frames: 4,
        accelerationFraction: 0.06,
      });
  for (const angleDegrees of [11.25, 45, 90, 120])
    for (const pixelsPerFrame of [10, 24, 40])
      add('clean', { move: 'pan', angleDegrees, pixelsPerFrame, ...undegraded });
  for (const angleDegrees of [45, 180, 360])
    for (const pixelsPerFrame of [0, 1]) add('still', { move: 'pan', angleDegrees, pixelsPerFrame });
  for (const conversion of ['doubled', 'four-to-five', 'mixed'] as const)
    for (const angleDegrees of [45, 90, 180, 360])
      add(conversion, { move: 'pan', angleDegrees, pixelsPerFrame: 16, conversion });
  return list.sort((a, b) => a.scene.localeCompare(b.scene));
}

/** Comparable to the synthetic data that published errors are given for: no codec, hardly any noise. */
const undegraded: Variation = { noiseCodes: 0.3, compression: undefined, sharpening: undefined };

/** FNV-1a, 32 bits. */
function hash(text: string): number {
  let value = 0x811c9dc5;
  for (let i = 0; i < text.length; i++) value = Math.imul(value ^ text.charCodeAt(i), 0x01000193) >>> 0;
  return value >>> 7;
}
