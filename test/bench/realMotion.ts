import { spawnSync } from 'node:child_process';
import { existsSync, readdirSync } from 'node:fs';
import path from 'node:path';
import { averageFrames, lumaFrames } from '../../sample-media-generator/blur/averagedFootage.ts';
import { median } from '../../src/domain/statistics.ts';
import { planMotionMeter } from '../../src/measuring/motion/motion.ts';
import { estimateShutter } from '../../src/measuring/shutter/estimateShutter.ts';
import { folderVariable } from './ratios.ts';
import { pairUp } from './renderedClips.ts';
import type { Scored } from './scoring.ts';

/** Real motion that lies beside the project on some machines; it is not part of it. */
export const realMediaFolder = path.resolve(import.meta.dirname, '../../../shared/real-media');

const sources = [
  {
    file: '250fps-source.mp4',
    width: 396,
    height: 406,
    every: 10,
    opens: [1, 2, 3, 4, 5, 6, 7, 8, 9, 10],
    parts: 4,
  },
  { file: '60fps-motion.mp4', width: 1080, height: 1920, every: 4, opens: [2, 3], parts: 2 },
] as const;
const pairsPerPart = 6;

/** Each source, each opening, in parts of the clip: six pairs spread over each part, as for a clip of its own. */
export async function scoreRealMotion(): Promise<readonly Scored[]> {
  const scored: Scored[] = [];
  for (const source of sources) {
    const file = path.join(realMediaFolder, source.file);
    if (!existsSync(file)) {
      console.log(`skipped: ${source.file} is not there`);
      continue;
    }
    for (const open of source.opens) {
      const { frames, width, height } = await averageFrames({ ...source, file, open });
      const pairs = pairUp({ width, height, bitDepth: 10, transfer: 'bt709' }, frames);
      for (let part = 0; part < source.parts; part++) {
        const step = pairs.length / source.parts / pairsPerPart;
        const chosen = Array.from(
          { length: pairsPerPart },
          (_, i) => pairs[Math.floor((part * pairsPerPart + i) * step)]!,
        );
        const begun = process.cpuUsage().user;
        const estimate = estimateShutter(chosen);
        scored.push({
          id: `${source.file} ${open} of ${source.every}, part ${part + 1}`,
          labels: { source: source.file, angle: (360 * open) / source.every },
          pixelsPerFrame: estimate.medianMotionPixels ?? 0,
          truthDegrees: (360 * open) / source.every,
          estimate,
          cpuSeconds: (process.cpuUsage().user - begun) / 1e6,
        });
      }
    }
  }
  return scored;
}

// Footage of 30 frames/s becomes a few frames a second, and hands and gusts change its motion within one. So many of so
// many frames are a shutter angle only where the source moves evenly: two clips that were not read 138 and 228 for 180.

/** Motion of each frame of the source may differ by so much from the mean of its window. */
const mostUnevenness = 0.25;
/** More from frame to frame of the source, and their average shows steps where a shutter leaves none. */
const mostStepPixels = 1.6;
const leastPixels = 5;
const windowFrames = 3;

/** Each clip of a folder, where it moves fastest and evenly, at three openings. */
export async function scoreFolder(folder = process.env[folderVariable]): Promise<readonly Scored[]> {
  const names = folder === undefined ? [] : readdirSync(folder).filter((name) => /\.(mp4|mov)$/i.test(name));
  const scored: Scored[] = [];
  for (const name of names) {
    const file = path.join(folder!, name);
    const probe = [
      '-v',
      'error',
      '-select_streams',
      'v:0',
      '-show_entries',
      'stream=width,height',
      '-of',
      'csv=p=0',
    ];
    const size = spawnSync('ffprobe', [...probe, file], { encoding: 'utf8' }).stdout.split(',');
    const [width, height] = [Number(size[0]), Number.parseInt(size[1] ?? '', 10)];
    if (!(width > 0 && height > 0)) continue;
    const steps = await stepsOf(file, width, height);
    const windows = [6, 8, 10, 12, 16, 20].flatMap((every) => {
      const window = evenWindow(steps, windowFrames * every);
      return window === undefined || window.pixels * every < leastPixels ? [] : [{ every, ...window }];
    });
    const fastest = windows.sort((a, b) => b.pixels * b.every - a.pixels * a.every)[0];
    if (fastest === undefined) continue;
    const { every, from, pixels } = fastest;
    for (const open of [0.25, 0.5, 0.8].map((share) => Math.round(share * every))) {
      const averaged = await averageFrames({
        file,
        width,
        height,
        every,
        open,
        from,
        count: windowFrames * every,
      });
      const pairs = pairUp({ width, height, bitDepth: 10, transfer: 'bt709' }, averaged.frames);
      const truthDegrees = (360 * open) / every;
      const begun = process.cpuUsage().user;
      const estimate = estimateShutter(pairs);
      const cpuSeconds = (process.cpuUsage().user - begun) / 1e6;
      const labels = { source: name, angle: truthDegrees };
      const id = `${name} ${open} of ${every}`;
      scored.push({ id, labels, pixelsPerFrame: pixels * every, truthDegrees, estimate, cpuSeconds });
    }
  }
  return scored;
}

interface Step {
  readonly x: number;
  readonly y: number;
}

/** Median motion from each frame to the next; undefined where too few places could be followed. */
async function stepsOf(file: string, width: number, height: number): Promise<readonly (Step | undefined)[]> {
  const meter = planMotionMeter(width, height, 8);
  const steps: (Step | undefined)[] = [];
  let before: Uint8Array | undefined;
  for await (const codes of lumaFrames(file, width * height)) {
    if (before !== undefined) {
      const { shifts } = meter({ width, height, codes: before }, { width, height, codes });
      const [x, y] = [median(shifts.map((shift) => shift.x)), median(shifts.map((shift) => shift.y))];
      steps.push(x === undefined || y === undefined ? undefined : { x, y });
    }
    before = codes.slice();
  }
  return steps;
}

function evenWindow(
  steps: readonly (Step | undefined)[],
  length: number,
): { readonly from: number; readonly pixels: number } | undefined {
  let best: { readonly from: number; readonly pixels: number } | undefined;
  for (let from = 0; from + length <= steps.length; from++) {
    const part = steps.slice(from, from + length).filter((step) => step !== undefined);
    const [x, y] = [
      part.reduce((sum, step) => sum + step.x, 0) / length,
      part.reduce((sum, step) => sum + step.y, 0) / length,
    ];
    const pixels = Math.hypot(x, y);
    const isEven = part.every((step) => Math.hypot(step.x - x, step.y - y) <= mostUnevenness * pixels);
    if (part.length === length && isEven && pixels <= mostStepPixels && pixels > (best?.pixels ?? 0))
      best = { from, pixels };
  }
  return best;
}
