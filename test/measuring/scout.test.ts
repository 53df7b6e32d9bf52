import { copyFileSync, truncateSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { expect, test } from 'vitest';
import { measureClip } from '../../src/measuring/measureClip.ts';
import { openMedia } from '../../src/programs/openMedia.ts';
import {
  blankFrame,
  encodeClip,
  exposed,
  factsOf,
  ffmpegs,
  losslessH264,
  temporaryFolder,
} from './encodeClip.ts';

const [program] = await ffmpegs();
const clipShape = { width: 128, height: 96, bitDepth: 8 } as const;
const copyShape = { width: 64, height: 48, bitDepth: 8 } as const;
const seconds = 20;

/** A quarter of the picture is white for a second from 8.6 s on, where no picture of a first look lies. */
function encode(
  { width, height, bitDepth }: typeof clipShape | typeof copyShape,
  more: { lit: boolean; length?: number },
) {
  const frames = Array.from({ length: (more.length ?? seconds) * 25 }, (_, i) => {
    const frame = blankFrame({ width, height, bitDepth }, 106);
    if (more.lit && i >= 215 && i < 240) frame.fill(235, 0, (width * height) / 4);
    return frame;
  });
  const codec = [...losslessH264, '-g', '12', '-sc_threshold', '0'];
  return encodeClip({ width, height, bitDepth }, frames, { codec, extension: 'mp4' });
}

async function measure(file: string, lowResolutionCopy?: string) {
  const media = await openMedia(file);
  const facts = factsOf({
    ...exposed,
    ...clipShape,
    transfer: 'bt709',
    range: 'narrow',
    durationSeconds: seconds,
    playbackFrameRate: { numerator: 25, denominator: 1 },
  });
  const request = { program: program!, media, facts, mode: 'sampled', clippedFlagFraction: 0.01 } as const;
  try {
    return await measureClip({ ...request, lowResolutionCopy });
  } finally {
    await media.close();
  }
}

test('what a copy shows between the pictures of a first look is looked at in the clip', async () => {
  const clip = await encode(clipShape, { lit: true });
  const alone = await measure(clip);
  expect(alone).toMatchObject({ framesMeasured: 8, clippedFraction: { max: 0 }, scoutedFrames: undefined });
  const scouted = await measure(clip, await encode(copyShape, { lit: true }));
  expect(scouted.clippedFraction.max).toBe(0.25);
  expect(scouted.scoutedFrames).toBe(42);
  expect(scouted.lookedCloserBecause).toContain('copy-differs');
  const [span] = scouted.clippedSpans;
  expect(Math.abs(span!.startSeconds - 8.6)).toBeLessThanOrEqual(span!.startToleranceSeconds! + 0.001);
  expect(Math.abs(span!.endSeconds - 9.6)).toBeLessThanOrEqual(span!.endToleranceSeconds! + 0.001);
});

test('where the pictures of a copy are alike, few of the clip are looked at', async () => {
  const scouted = await measure(
    await encode(clipShape, { lit: false }),
    await encode(copyShape, { lit: false }),
  );
  expect(scouted.framesMeasured).toBeLessThanOrEqual(4);
  expect(scouted.framesMeasured).toBeGreaterThanOrEqual(3);
  expect(scouted.lookedCloserBecause).toBeUndefined();
});

test('no number of a copy is told as if it were of the clip', async () => {
  const scouted = await measure(
    await encode(clipShape, { lit: false }),
    await encode(copyShape, { lit: true }),
  );
  expect(scouted.clippedFraction.max).toBe(0);
  expect(scouted.clippedSpans).toEqual([]);
});

test('what is not a copy, or none that can be read, is left aside', async () => {
  const clip = await encode(clipShape, { lit: false });
  const folder = temporaryFolder();
  const notes = path.join(folder, 'notes.mp4');
  writeFileSync(notes, 'nothing to see here\n'.repeat(100));
  const cut = path.join(folder, 'cut.mp4');
  copyFileSync(await encode(copyShape, { lit: true }), cut);
  truncateSync(cut, 3000);
  const shorter = await encode(copyShape, { lit: true, length: 19 });
  for (const copy of [notes, cut, shorter, folder, path.join(folder, 'gone.mp4')]) {
    const measured = await measure(clip, copy);
    expect(measured.scoutedFrames).toBeUndefined();
    expect(measured.framesMeasured).toBe(8);
  }
});
