import { expect, test } from 'vitest';
import { jumpToPictures } from '../../../src/measuring/decoding/jumps.ts';
import { openMedia } from '../../../src/programs/openMedia.ts';
import { blankFrame, encodeClip, ffmpegs } from '../encodeClip.ts';

const [program] = await ffmpegs();

test('moments of a file without a table give frames that follow each other, fewer at its end', async () => {
  const geometry = { width: 64, height: 48, bitDepth: 8 } as const;
  // The grey of a frame says its number.
  const numbered = Array.from({ length: 40 }, (_, i) => blankFrame(geometry, 20 + 2 * i));
  const codec = ['-c:v', 'libx264', '-qp', '0', '-bf', '3', '-g', '10'];
  const media = await openMedia(await encodeClip(geometry, numbered, { codec, extension: 'mkv' }));
  const reader = jumpToPictures({ program: program!, media, geometry, framesPerSecond: 25 });
  const moments = [
    { atSeconds: 0.8, pairs: 3 },
    { atSeconds: 0.12, pairs: 1 },
    { atSeconds: 1.52, pairs: 3 },
  ];
  const seen: string[] = [];
  try {
    for await (const { frame, isSample, opensPair, closesPair } of reader.look({ moments, pairShrunkBy: 1 }))
      seen.push(
        `${(frame.luma[100]! - 20) / 2} at ${frame.atSeconds.toFixed(2)}` +
          `${isSample ? ' sample' : ''}${closesPair ? ' closes' : ''}${opensPair ? ' opens' : ''}`,
      );
  } finally {
    await media.close();
  }
  expect(seen).toEqual([
    '20 at 0.80 opens',
    '21 at 0.84 closes opens',
    '22 at 0.88 closes opens',
    '23 at 0.92 closes',
    '3 at 0.12 opens',
    '4 at 0.16 closes',
    '38 at 1.52 opens',
    '39 at 1.56 closes opens',
  ]);
});
