import { existsSync } from 'node:fs';
import path from 'node:path';
import { averageFrames } from '../../sample-media-generator/blur/averagedFootage.ts';
import { estimateShutter } from '../../src/measuring/shutter/estimateShutter.ts';
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
